# Makes .venv, installs Chalkpoint, works an example and says what to try next. Not yet run by anybody on Windows.
$ErrorActionPreference = "Stop"
Set-Location (Join-Path $PSScriptRoot "..")
if (-not (Test-Path .venv)) { py -3 -m venv .venv }
.venv\Scripts\python -m pip --quiet --disable-pip-version-check install --editable ".[serve]"

Write-Output "The bed gauge of the Brackwater tide station reads 8.875 m; its datum stands 3.6875 m above the bed."
.venv\Scripts\chalkpoint work subtract 8.875 3.6875 --format 8+4 --names gauge,datum
Write-Output ""
Write-Output "Next: .venv\Scripts\chalkpoint serve opens the five places in your browser, each with an example."
