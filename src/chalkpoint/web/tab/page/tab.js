/* The page around the app: starts Python in a worker, hands it each click and form, and shows what comes back. */
const one = (name) => document.getElementById(name);
const PARTS = JSON.parse(one("parts").textContent);
const FIRST = PARTS.first;
const PATIENCE = 400;            /* ms until work is shown as such */
const OFFLINE = 3000;            /* ms until Python is started without what opens this page offline */
const began = performance.now();
const notes = {};
const note = (name) => { notes[name] = Math.round(performance.now() - began); };

let worker = null, begun, ready = new Promise((done) => { begun = done; });
let number = 0, newest = 0, going = 0, address = FIRST, touched = false, lost = "";
const waiting = new Map();
const texts = new Map();

/* === Python === */

function parts() {
  return Object.fromEntries(Object.entries(PARTS.parts).map(([name, part]) => [name, {
    later: part.later,
    text: part.inside ? new Blob([one("part-" + name).textContent]) : null,
    pieces: part.inside ? null : part.pieces.map((piece) => new URL(piece, document.baseURI).href),
  }]));
}

function startPython(kept) {
  const program = new Blob([one("worker").textContent], { type: "text/javascript" });
  const asked = URL.createObjectURL(program);
  worker = new Worker(asked);
  ready = new Promise((done, failed) => {
    worker.onerror = (event) => failed(new Error(event.message || "the browser does not start a worker here"));
    worker.onmessage = ({ data }) => {
      if (data.note) note(data.note);
      if (data.broken) failed(Object.assign(new Error(data.broken), { stack: data.trace }));
      if (data.ready) { notes.bytes = data.bytes; keep(data.kept, {}).then(done); }
      if (data.bringing) busy(`Bringing in ${PARTS.parts[data.bringing].what}`, data.done, data.of);
      else if (data.of !== undefined) busy("", data.done, data.of);
      if (data.id) { waiting.get(data.id)?.(data); waiting.delete(data.id); }
    };
  });
  begun(ready);                                              /* whoever waits since before there was a worker */
  worker.postMessage({ begin: { parts: parts(), kept } });
  return ready;
}

async function ask(method, to, headers = [], body = new ArrayBuffer(0)) {
  await ready;
  const url = new URL(to, "https://tab.invalid" + address);
  const id = (number += 1);
  const answer = await new Promise((done) => {
    waiting.set(id, done);
    worker.postMessage({ id, method, path: decodeURIComponent(url.pathname), query: url.search.slice(1), headers, body });
  });
  if (answer.stopped) return answer;
  const carried = url.pathname === "/kept/chalkpoint.jsonl" && answer.status === 200;
  await keep(answer.kept, { made: method === "POST" && "chalkpoint.db" in answer.kept, carried });
  return { ...answer, url, heads: Object.fromEntries(answer.headers) };
}

async function stopPython() {
  one("stop").hidden = true;
  worker.terminate();                                        /* what was under way has kept nothing yet */
  for (const done of waiting.values()) done({ stopped: true });
  waiting.clear();
  one("busy-words").textContent = "It was stopped. Python is starting again.";
  await startPython(keeping.database ? await keeping.read() : {});
  rest();
}

/* === What is kept === */

async function keep(files, about) {
  if (!Object.keys(files).length && !about.carried) return;
  try {
    await keeping.write(files, about);
  } catch (reason) {
    lost = reason instanceof OtherTab ? `This tab saves nothing more: ${reason.message}.` : `The last change could not be saved (${reason?.message || reason}). Carry everything away before you close this page.`;
  }
  sayKept();
}

function sayKept() {
  const bar = one("keeping"), nothing = keeping.refused || lost;
  bar.classList.toggle("lost", Boolean(nothing));
  if (lost) one("kept-words").textContent = lost;
  else if (keeping.refused) one("kept-words").textContent = "This browser saves nothing for this page, so what you make is gone when you close it. Carry everything away before you do.";
  else one("kept-words").textContent = `Saved in this browser, on this computer only${keeping.steady ? "" : ", until it runs short of space"}; whoever uses this account can read it.`;
  bar.hidden = !nothing && keeping.carried === keeping.made;
  if (nothing) bar.setAttribute("role", "alert"); else bar.removeAttribute("role");
}

window.addEventListener("beforeunload", (event) => {
  if ((keeping.refused || lost) && keeping.made > Math.max(keeping.carried, 0)) event.preventDefault();
});
one("carry").addEventListener("click", () => go("GET", "/kept/chalkpoint.jsonl"));
one("bring").addEventListener("click", () => go("GET", "/kept#bring"));
one("stop").addEventListener("click", stopPython);

/* === Pages === */

let patience = 0;
function busy(words, done, of) {
  one("busy").hidden = false;
  one("busy-words").textContent = (words || "Working") + (of > 1 ? `: ${done.toLocaleString("en")} of ${of.toLocaleString("en")}` : "");
  const bar = one("bar");
  if (of > 1) { bar.max = of; bar.value = done; } else bar.removeAttribute("value");
}
function working() {
  clearTimeout(patience);
  patience = setTimeout(() => { busy("", 0, 0); one("stop").hidden = false; }, PATIENCE);
}
function rest() {
  clearTimeout(patience);
  one("busy").hidden = true;
  one("stop").hidden = true;
}

async function go(method, to, { headers = [], body, push = true } = {}) {
  if (notes.broken) return;
  const turn = (newest += 1);
  going += 1;
  if (notes.ready) working(); else busy(one("only").hidden ? "Python is starting; then this is done" : "This is done when the other tab is closed", 0, 0);
  try {
    await ready;
    if (turn !== newest) return;
    working();
    const answer = await ask(method, to, headers, body);
    if (turn !== newest || answer.stopped) return;
    if (answer.heads.location) { await go("GET", answer.heads.location, { push }); return; }
    rest();
    const type = answer.heads["content-type"] ?? "";
    if (type.startsWith("text/html") && !/attachment/.test(answer.heads["content-disposition"] ?? "")) {
      const here = answer.url.pathname + answer.url.search;
      if (method === "GET" && push && here !== address) history.pushState(null, "", "#" + here);
      if (method === "GET") address = here;
      await show(new TextDecoder().decode(answer.body), answer.url.hash.slice(1), answer.heads["content-security-policy"]);
    } else if (answer.status >= 400) {
      await show(`<!doctype html><title>Not done</title><p>${new TextDecoder().decode(answer.body).replace(/[&<]/g, (sign) => `&#${sign.charCodeAt(0)};`)}</p>`, "");
    } else {
      save(answer.body, type, named(answer));
    }
  } catch (reason) {
    cannotStart(reason);
  } finally {
    going -= 1;
  }
}

function named(answer) {
  const said = answer.heads["content-disposition"] ?? "";
  const starred = /filename\*=utf-8''([^;]+)/i.exec(said), plain = /filename="?([^";]+)"?/.exec(said);
  return starred ? decodeURIComponent(starred[1]) : plain ? plain[1] : answer.url.pathname.split("/").pop();
}
function save(data, type, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([data], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/* Our styles and scripts are inlined: the page has no server to ask for them. */
async function text(to) {
  if (!texts.has(to)) texts.set(to, new TextDecoder().decode((await ask("GET", to)).body));
  return texts.get(to);
}
/* Pictures too. */
async function draw(page) {
  for (const picture of page.querySelectorAll('img[src^="/"]')) {
    const { body, heads } = await ask("GET", picture.getAttribute("src"));
    const reader = new FileReader();
    const read = new Promise((done) => reader.addEventListener("load", done, { once: true }));
    reader.readAsDataURL(new Blob([body], { type: heads["content-type"] }));
    await read;
    picture.src = reader.result;
  }
}
/* What a page's own scripts fetch comes from the app. */
async function fetched(to, { method = "GET", body = null } = {}) {
  const place = new URL(to, document.baseURI);
  const path = place.protocol === "about:" ? address : place.pathname.replace(/^\/[a-z]:(?=\/)/i, "") + place.search;
  const form = new Response(body), type = form.headers.get("content-type");
  const answer = await ask(method, path, type ? [["content-type", type]] : [], await form.arrayBuffer());
  if (answer.stopped) throw new TypeError("it was stopped");
  if (answer.heads.location) return fetched(answer.heads.location);
  let text = answer.body;
  if (answer.heads["content-type"]?.startsWith("text/html")) {
    const page = new DOMParser().parseFromString(new TextDecoder().decode(text), "text/html");
    await draw(page);
    text = page.documentElement.outerHTML;
  }
  return new Response(text, { status: answer.status });
}
async function show(html, fragment, policy = "") {
  const page = new DOMParser().parseFromString(html, "text/html");
  const nonce = btoa(String.fromCharCode(...crypto.getRandomValues(new Uint8Array(12))));
  for (const link of page.querySelectorAll('link[rel="stylesheet"][href^="/"]')) {
    const style = page.createElement("style");
    style.textContent = await text(link.getAttribute("href"));
    link.replaceWith(style);
  }
  for (const script of page.querySelectorAll('script[src^="/"]')) {
    const copy = page.createElement("script");
    copy.type = "module";
    copy.setAttribute("nonce", nonce);
    copy.textContent = await text(script.getAttribute("src"));
    script.replaceWith(copy);
  }
  await draw(page);
  const quiet = page.createElement("script");          /* nobody else writes here, so no page waits for news */
  quiet.textContent = "window.EventSource = class extends EventTarget { close() {} }; window.fetch = parent.chalkpoint.fetched;";
  quiet.setAttribute("nonce", nonce);
  const rule = page.createElement("meta");             /* no script runs but ours, as its header says for a server */
  rule.httpEquiv = "Content-Security-Policy";
  rule.content = `script-src 'nonce-${nonce}' ${(policy.match(/'sha256-[^']+'/g) ?? []).join(" ")}`;
  page.head.prepend(rule, quiet);
  const fresh = document.createElement("iframe");
  fresh.allow = "fullscreen *; microphone *; clipboard-write *";  /* from a disk no two pages are of one origin */
  fresh.title = "Chalkpoint";
  fresh.className = "coming";
  fresh.srcdoc = "<!doctype html>" + page.documentElement.outerHTML;
  const loaded = new Promise((done) => fresh.addEventListener("load", done, { once: true }));
  one("pages").append(fresh);
  await loaded;
  for (const old of document.querySelectorAll("iframe")) if (old !== fresh) old.remove();
  fresh.className = "";
  attend(fresh);
  document.title = page.title;
  one("shown").textContent = page.title;
  if (fragment) to(fresh, fragment); else fresh.contentWindow.focus();
  note("page");
}
function to(frame, fragment) {
  const place = frame.contentDocument.getElementById(fragment);
  if (!place) return;
  place.scrollIntoView();
  if (!place.matches("a[href], button, input, select, textarea, [tabindex]")) place.tabIndex = -1;
  place.focus({ preventScroll: true });
}

function attend(frame) {
  const page = frame.contentDocument;
  page.addEventListener("input", () => { touched = true; });
  page.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[href]");
    if (!link || event.defaultPrevented || event.button) return;
    const href = link.getAttribute("href");
    if (/^(https?|mailto|data|blob|javascript):/i.test(href)) return;
    event.preventDefault();
    if (href.startsWith("#")) to(frame, href.slice(1)); else go("GET", href);
  });
  page.addEventListener("submit", (event) => {
    if (event.defaultPrevented) return;
    event.preventDefault();
    const form = event.target, button = event.submitter;
    const to = button?.getAttribute("formaction") || form.getAttribute("action") || address;
    const data = new FormData(form, button);
    if (form.method !== "post") {
      const [path, hash = ""] = to.split("#");
      go("GET", `${path.split("?")[0]}?${new URLSearchParams(data)}${hash && "#" + hash}`);
    } else send(to, form.enctype === "multipart/form-data" ? new Response(data) : new Response(new URLSearchParams(data)));
  });
  for (const place of [window, frame.contentWindow]) place.addEventListener("keydown", printed);
}
/* What is printed is the app's page, whole: by the keys itself, by the browser's menu as long as it is on paper. */
const shownNow = () => document.querySelector("iframe:not(.coming)");
function printed(event) {
  if (event.key === "p" && (event.ctrlKey || event.metaKey)) { event.preventDefault(); shownNow().contentWindow.print(); }
}
window.addEventListener("beforeprint", () => {
  const frame = shownNow();
  frame.style.width = "180mm";
  frame.style.height = `${frame.contentDocument.documentElement.scrollHeight}px`;
});
window.addEventListener("afterprint", () => shownNow().removeAttribute("style"));
async function send(to, form) {
  const headers = [["content-type", form.headers.get("content-type")]];
  const body = await form.arrayBuffer();
  await ready;
  await freshToken;
  if (firstToken && headers[0][1].startsWith("application/x-www-form-urlencoded")) {
    const fields = new URLSearchParams(new TextDecoder().decode(body));
    if (fields.get("token") === PARTS.token) fields.set("token", firstToken);
    go("POST", to, { headers, body: new TextEncoder().encode(fields.toString()).buffer });
  } else go("POST", to, { headers, body });
}

window.addEventListener("popstate", () => go("GET", location.hash.slice(1) || FIRST, { push: false }));

/* === Start === */

/* The first page was drawn when this file was built; its forms carry a token of that time. */
let firstToken = "", freshToken = null;
async function freshen() {
  const answer = await ask("GET", address);
  const html = new TextDecoder().decode(answer.body);
  firstToken = /name="token" value="([^"]+)"/.exec(html)?.[1] ?? "";
  if (!touched && newest === 0) await show(html, "", answer.heads["content-security-policy"]);
}

function cannotStart(reason) {
  rest();
  one("keeping").hidden = true;                              /* nobody is there to carry anything */
  one("only").hidden = false;
  one("only-words").textContent = `Chalkpoint could not start here. ${reason?.message ?? reason}`;
  notes.broken = String(reason?.stack ?? reason);
  one("rescue").hidden = !kept["chalkpoint.db"];
}
let kept = {};
one("rescue").addEventListener("click", () => save(kept["chalkpoint.db"], "application/vnd.sqlite3", "chalkpoint.db"));

/* A folder on a server opens without it after the first visit, where the browser has service workers. */
async function openOffline() {
  if (!/^http/.test(location.protocol) || !navigator.serviceWorker) return;
  const controlled = navigator.serviceWorker.controller
    || new Promise((done) => navigator.serviceWorker.addEventListener("controllerchange", done, { once: true }));
  try {
    await navigator.serviceWorker.register("offline.js");
    await Promise.race([controlled, new Promise((done) => setTimeout(done, OFFLINE))]);
  } catch { /* it opens from the server */ }
}

async function begin() {
  const standing = document.querySelector("iframe");
  if (standing.contentDocument?.URL === "about:srcdoc" && standing.contentDocument.readyState === "complete") attend(standing);
  else standing.addEventListener("load", () => attend(standing), { once: true });
  if (location.protocol === "file:" && !PARTS.parts.engine.inside) {
    throw new Error("From a disk or a share a browser gives a page none of its parts: open the one file instead (chalkpoint tab --one-file), or put this folder on a web server");
  }
  if (typeof WebAssembly !== "object" || typeof DecompressionStream !== "function") {
    throw new Error("It takes WebAssembly, which this browser has not or is not allowed: open it in a Chromium, Edge or Firefox of the last two years, and ask your technician to allow WebAssembly there.");
  }
  if (location.hash.startsWith("#/")) address = location.hash.slice(1);
  await theOnlyTab(() => {
    one("busy").hidden = true;
    one("only").hidden = false;
    one("only-words").textContent = "Chalkpoint is open in another tab of this browser, and only one at a time can save. Go on in that tab, or close it: this one then goes on by itself.";
  });
  one("only").hidden = true;
  one("busy").hidden = false;
  await openOffline();
  kept = await keeping.open();
  keeping.steady = await navigator.storage?.persisted?.().catch(() => false) ?? false;
  sayKept();
  await startPython(kept);
  note("ready");
  if (newest === 0) rest();
  await (freshToken = freshen());
  note("first");
}
window.chalkpoint = { ask, fetched, notes, keeping, busy: () => going > 0 };
begin().catch(cannotStart);
