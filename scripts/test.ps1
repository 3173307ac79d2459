# Installs what the tests need, then checks everything. Not yet run by anybody on Windows.
$ErrorActionPreference = "Stop"
Set-Location (Join-Path $PSScriptRoot "..")
if (-not (Test-Path .venv)) { py -3 -m venv .venv }
.venv\Scripts\python -m pip --quiet --disable-pip-version-check install --editable ".[test]"
foreach ($check in @("ruff check", "ruff format --check", "mypy", "pytest --numprocesses auto --maxschedchunk 24")) {
    $words = $check.Split(" ")
    & ".venv\Scripts\$($words[0])" @($words | Select-Object -Skip 1)
    if ($LASTEXITCODE -ne 0) { exit $LASTEXITCODE }
}
