// node compile.mjs LOADER FOLDER...: every module of each folder becomes bytecode, by the very Python that will run it.
import { existsSync } from "node:fs";
import { pathToFileURL } from "node:url";

process.on("uncaughtException", (reason) => {
  console.error(String(reason?.message ?? reason).trim().split("\n").slice(-4).map((line) => line.trim()).join(" "));
  process.exit(1);
});
const [loader, ...folders] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(loader));
const py = await loadPyodide();
for (const folder of folders) {
  if (!existsSync(folder)) throw new Error(`${folder} is not there`);
  py.FS.mkdirTree("/made");
  py.FS.mount(py.FS.filesystems.NODEFS, { root: folder }, "/made");
  py.runPython(`
import pathlib, py_compile
kept = ("/migrations/",)     # run from their text by the library that brings a database up to date
for path in sorted(pathlib.Path("/made").rglob("*.py")):
    if any(part in path.as_posix() for part in kept) and path.name != "__init__.py":
        continue
    py_compile.compile(
        str(path), cfile=str(path) + "c", dfile=path.relative_to("/made").as_posix(), doraise=True, optimize=2,
        invalidation_mode=py_compile.PycInvalidationMode.UNCHECKED_HASH,
    )
    path.unlink()
`);
  py.FS.unmount("/made");
}
