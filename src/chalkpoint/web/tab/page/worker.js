"use strict";
/* Python and the app, in a worker of the page: started once, then asked one request at a time. */
const SITE = "/lib/chalkpoint", LIBRARIES = "/lib/site.zip", KEPT = "/kept";
const NOWHERE = "https://chalkpoint.invalid/";
/* From a disk no browser starts a worker that is a module, and Python's loader takes no other: this one looks like one. */
self.importScripts = undefined;
/* Only some browsers switch stacks: Python goes the same way in all of them. */
delete WebAssembly.Suspending;
delete WebAssembly.promising;
let parts, py, tab, turn = Promise.resolve();

const say = (what) => postMessage(what);
const fromBase64 = (text) => {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  const raw = atob(text), data = new Uint8Array(raw.length);
  for (let at = 0; at < raw.length; at += 1) data[at] = raw.charCodeAt(at);
  return data;
};

/* What is said of a refusal: of Python's, the last line of what it prints, without the error's name. */
const sentence = (reason) => String(reason?.message ?? reason).trim().split("\n").pop().replace(/^[\w.]+: /, "");

/* A part is gzip: pieces at addresses of this folder, or text in the page itself. */
async function packed(part) {
  if (part.text) return new Blob([fromBase64(await part.text.text())]).stream();
  const answers = await Promise.all(part.pieces.map(async (address) => {
    const answer = await fetch(address).catch(() => { throw new Error("The server does not answer; open this page again when it does."); });
    if (!answer.ok) throw new Error(`The server does not give ${address} (${answer.status}); put the whole folder there, as it was built.`);
    return answer;
  }));
  return answers.length === 1 ? answers[0].body : new Blob(await Promise.all(answers.map((answer) => answer.blob()))).stream();
}
const opened = async (name) => (await packed(parts[name])).pipeThrough(new DecompressionStream("gzip"));
const whole = async (name) => new Response(await opened(name)).arrayBuffer();
const module = async (name) =>
  import(URL.createObjectURL(new Blob([await whole(name)], { type: "text/javascript" })));

/* A part that is wanted while Python is at work: brought in piece by piece, which only a worker may wait for. */
function* piecesNow(name) {
  const part = parts[name];
  if (part.text) {
    const every = 4_000_000;
    for (let at = 0; at < part.text.size; at += every) {
      say({ bringing: name, done: at, of: part.text.size });
      yield fromBase64(new FileReaderSync().readAsText(part.text.slice(at, at + every)));
    }
  } else {
    for (const [at, address] of part.pieces.entries()) {
      say({ bringing: name, done: at, of: part.pieces.length });
      const asked = new XMLHttpRequest();
      asked.open("GET", address, false);
      asked.responseType = "arraybuffer";
      try { asked.send(); } catch { throw new Error("the server does not answer"); }
      if (asked.status !== 200) throw new Error(`the server does not give ${address} (${asked.status})`);
      yield new Uint8Array(asked.response);
    }
  }
  say({ bringing: name, done: 1, of: 1 });
}
self.piecesNow = piecesNow;

async function begin(kept) {
  const started = ["engine", "site"].map(whole);            /* while Python is compiled */
  const [wasm, stdlib] = ["wasm", "stdlib"].map(opened);
  const fetched = self.fetch;
  self.fetch = async (address, more) => {                    /* Python's own loader asks by these two names */
    const name = String(address.url ?? address).slice(NOWHERE.length);
    if (name === "pyodide.asm.wasm") return new Response(await wasm, { headers: { "Content-Type": "application/wasm" } });
    if (name === "python_stdlib.zip") return new Response(await stdlib);
    return fetched(address, more);
  };
  const [{ loadPyodide }, { default: createPyodideModule }, lock] = await Promise.all([module("loader"), module("glue"), whole("lock")]);
  py = await loadPyodide({ createPyodideModule, indexURL: NOWHERE, lockFileContents: JSON.parse(new TextDecoder().decode(lock)) });
  self.fetch = fetched;
  say({ note: "python" });
  py.FS.mkdirTree(SITE);
  py.FS.mkdirTree(KEPT);
  py.unpackArchive(await started[0], "zip", { extractDir: SITE });
  py.FS.writeFile(LIBRARIES, new Uint8Array(await started[1]));
  for (const [name, data] of Object.entries(kept)) py.FS.writeFile(`${KEPT}/${name}`, data);
  say({ note: "unpacked" });
  py.globals.set("told", (done, of) => say({ done, of }));
  py.globals.set("later", Object.keys(parts).filter((name) => parts[name].later));
  tab = await py.runPythonAsync(`
import gc, sys
gc.disable()                     # nothing that is imported is ever let go
sys.path[:0] = ["${SITE}", "${LIBRARIES}"]
from chalkpoint.web.tab.later import bring_later
bring_later(later.to_py(), "${SITE}")
from chalkpoint.web.tab.inside import start
tab = await (await start("${KEPT}", told)).__aenter__()
gc.freeze()
gc.enable()
tab`);
  say({ ready: true, kept: changes(), bytes: py._module.HEAP8.length });
}

/* What changed in the folder that is kept, since it was last looked at. */
const seen = new Map();
function changes() {
  const changed = {};
  for (const name of ["chalkpoint.db", "cookies.json"]) {
    const path = `${KEPT}/${name}`;
    if (!py.FS.analyzePath(path).exists) continue;
    const mark = py.FS.stat(path).mtime.getTime() + " " + py.FS.stat(path).size;
    if (seen.get(name) !== mark) changed[name] = py.FS.readFile(path);
    seen.set(name, mark);
  }
  return changed;
}

async function answer({ id, method, path, query, headers, body }) {
  const said = await tab.ask(method, path, query, py.toPy(headers), py.toPy(new Uint8Array(body)));
  const [status, back, page] = said.toJs();
  said.destroy();
  say({ id, status, headers: back, body: page, kept: changes() });
}

self.onmessage = ({ data }) => {
  if (data.begin) {
    ({ parts } = data.begin);
    turn = begin(data.begin.kept).catch((reason) => say({ broken: sentence(reason), trace: String(reason?.stack ?? reason).slice(0, 3000) }));
  } else {
    turn = turn.then(() => answer(data)).catch((reason) => say({ id: data.id, status: 500, headers: [["content-type", "text/plain"]], body: new TextEncoder().encode(String(reason).slice(-3000)), kept: {} }));
  }
};
