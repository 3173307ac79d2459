// Entry as fast as thought: a row is typed box by box, saved when it is full, and its verdict appears beside it.
const form = document.getElementById("entry");
const part = (id) => document.getElementById(id);
const rows = [...document.querySelectorAll("[data-q]")].map((li) => ({
  li,
  run: li.dataset.run,
  expected: li.dataset.expected,
  earlier: JSON.parse(li.dataset.earlier),
  input: li.querySelector(".typed input"),
  cells: [...li.querySelectorAll(".typing .f b")],
  typed: [],
}));
let at = -1;
let begun = false;
let sending = Promise.resolve();
let pressed = Number(form.elements.keys.value);
const before = pressed;
const done = Number(form.elements.scripts.value);
const PAD = { ".": " ", "+": "s", "*": "e", "/": "?" };

const row = () => rows[at];
const inBoxes = (one) => one.cells.length > 0 && !one.li.classList.contains("text");
// Where the second field begins: the boxes after the first.
const second = (one) => one.li.querySelector(".typing .f")?.children.length ?? 0;

function count(keys = 1) {
  pressed += keys;
  form.elements.keys.value = pressed;
  part("count").hidden = false;
  part("count").textContent = `${pressed - before} keys here, ${((pressed) / (done + 1)).toFixed(1)} keystrokes a script.`;
}

function draw(one) {
  one.cells.forEach((cell, place) => {
    const bit = one.typed[place] ?? "";
    cell.firstChild ? (cell.firstChild.nodeValue = bit) : cell.append(bit);
    cell.classList.toggle("ch", bit !== "" && bit !== one.run[place]);
    cell.classList.toggle("now1", one === row() && place === one.typed.length);
  });
  const unlike = one.typed.map((bit, place) => (bit === one.run[place] ? 0 : place + 1)).filter(Boolean);
  if (one === row() && one.typed.length)
    one.li.querySelector(".ver").textContent = `${one.typed.length} of ${one.run.length} typed.${unlike.length ? ` Box${unlike.length > 1 ? "es" : ""} ${unlike.join(", ")} unlike the expected answer.` : ""}`;
  offer(one);
}

const bitsOf = (text) => text.replace(/[^01]/g, "");

// The latest answer before this one that begins as typed, once a bit is unlike.
function like(one) {
  if (!inBoxes(one)) {
    const text = one.input.value;
    return text ? one.earlier.find(([, other]) => other.startsWith(text) && other !== text) : undefined;
  }
  const typed = one.typed.join("");
  if (!typed || one.run.startsWith(typed)) return undefined;
  return one.earlier.find(([, other]) => bitsOf(other).length === one.run.length && !/[^01. ]/.test(other) && bitsOf(other).startsWith(typed));
}

function offer(one) {
  const same = one.li.querySelector(".same");
  const found = one === row() ? like(one) : undefined;
  same.hidden = !found;
  same.replaceChildren();
  if (!found) return;
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = `${inBoxes(one) ? "S" : "→"}: same as ${found[0]}, ${found[1]}`;
  button.addEventListener("click", () => (count(), commit(one, found[1])));
  same.append(button);
}

function go(to) {
  if (to < 0 || to >= rows.length) return;
  const old = row();
  at = to;
  if (old) show(old);
  show(row());
  row().li.scrollIntoView({ block: "nearest" });
  if (inBoxes(row())) document.activeElement?.blur();
  else row().input.focus();
}

function show(one) {
  const current = one === row();
  one.li.classList.toggle("cur", current);
  if (current) one.li.setAttribute("aria-current", "step");
  else one.li.removeAttribute("aria-current");
  for (const line of one.li.querySelectorAll(".was1")) line.hidden = !current;
  for (const line of one.li.querySelectorAll(".typing")) line.hidden = false;
  draw(one);
}

function commit(one, written, said = "") {
  const line = one.li.dataset.line;
  if (said === "expected") one.typed = [...one.run];
  else if (inBoxes(one)) one.typed = [...bitsOf(written)].slice(0, one.run.length);
  if (!inBoxes(one) || said) one.input.value = said === "expected" ? one.expected : written;
  one.li.classList.add("done");
  const known = one.earlier.findIndex(([, other]) => other === written);
  if (known >= 0) one.earlier.unshift(...one.earlier.splice(known, 1));
  else if (written && !said) one.earlier.unshift([form.elements.student.value, written]);
  send(one, line, written, said);
  if (at + 1 < rows.length) go(at + 1);
  else finished(one);
}

function finished(one) {
  at = -1;
  show(one);
  part("next").focus();
}

// Rows are sent one after the other, so that the first begins the script.
function send(one, line, written, said) {
  sending = sending.then(async () => {
    const body = new URLSearchParams({
      token: form.elements.token.value, student: form.elements.student.value, variant: form.elements.variant?.value ?? "",
      question: one.li.dataset.question, line, written, said,
    });
    if (begun) body.set("begun", "1");
    try {
      const answer = await fetch(form.dataset.row, { method: "POST", body });
      const told = await answer.json();
      if (told.refused) return trouble(told.refused);
      begun = true;
      verdict(one, told);
    } catch {
      trouble("This row is not saved yet: the server did not answer. Type it again.");
    }
  });
}

function trouble(sentence) {
  part("trouble").textContent = sentence;
  part("trouble").hidden = false;
}

function verdict(one, told) {
  one.li.querySelector(".ver").textContent = told.said;
  const last = [...rows].reverse().find((other) => other.li.dataset.question === one.li.dataset.question);
  const mark = last.li.querySelector(".mk");
  mark.replaceChildren();
  const given = document.createElement("b");
  given.textContent = told.marks;
  mark.append(given, ` of ${told.of}`);
  if (told.asks) ask(one, told.asks, told.why);
}

// A line of working, asked for or begun with L; Enter keeps it, or leaves it where nothing is typed.
function ask(one, line, why = "") {
  if (one.li.querySelector(".line-asked")) return one.li.querySelector(".line-asked input").focus();
  const made = document.createElement("p");
  made.className = "line-asked";
  const label = document.createElement("label");
  const input = document.createElement("input");
  input.className = "bits";
  label.append(`The line ${line}, if it is written. ${why}`, document.createElement("br"), input);
  made.append(label);
  one.li.append(made);
  input.addEventListener("keydown", (event) => {
    event.stopPropagation();
    if (!["Enter", "Escape"].includes(event.key)) return event.key.length === 1 && count();
    event.preventDefault();
    count();
    if (event.key === "Enter" && input.value) send(one, line, input.value, "");
    made.remove();
    if (row()) go(at);
    else part("next").focus();
  });
  if (document.activeElement?.tagName !== "INPUT") input.focus();
}

function write(one, bit) {
  one.typed.push(bit);
  if (one.typed.length < one.run.length) return draw(one);
  const first = second(one);
  const run = one.typed.join("");
  commit(one, first && first < run.length ? `${run.slice(0, first)} ${run.slice(first)}` : run);
}

function asText(one, begin = "") {
  one.li.classList.add("text");
  one.input.value = begin;
  one.input.focus();
}

function pressInBoxes(one, key) {
  const rest = () => {
    if (!one.typed.length) return commit(one, one.expected, "expected");
    while (row() === one) write(one, one.run[one.typed.length]);
  };
  const first = second(one);
  if (one.typed.length >= one.run.length && /^[01 e]$/.test(key)) one.typed = []; // typed once more
  if (key === "0" || key === "1") return write(one, key);
  if (key === " ") return write(one, one.run[one.typed.length]);
  if (key === "Enter") return rest();
  if (key === "Backspace" || key === "ArrowLeft") return one.typed.pop(), draw(one);
  if (key === "e" && one.typed.length < first) {
    while (one.typed.length < first) one.typed.push(one.run[one.typed.length]);
    return draw(one);
  }
  if (one.typed.length === first && first && /^[2-9]$/.test(key)) return asText(one, `${one.typed.join("")} ${key}`);
  if (key === "s") return like(one) && commit(one, like(one)[1]);
  if (key === "-") return (one.typed = []), commit(one, "", "nothing");
  if (key === "?") return (one.typed = []), commit(one, "", "unreadable");
  if (key === "t") return asText(one);
  return false;
}

const KEYS = { ArrowDown: () => go(at + 1), ArrowUp: () => go(at - 1), n: () => next(), l: () => lineOf(row()) };

// L asks for the lines of working, one after the other.
function lineOf(one) {
  const lines = one?.li.dataset.lines.split("|").filter(Boolean) ?? [];
  if (!lines.length) return;
  one.line = ((one.line ?? -1) + 1) % lines.length;
  ask(one, lines[one.line]);
}

function press(event, key) {
  const one = row();
  if (KEYS[key]) return KEYS[key](), true;
  if (!one || !inBoxes(one)) return false;
  return pressInBoxes(one, key) !== false;
}

async function next() {
  await sending;
  const query = new URLSearchParams({ scripts: done + 1, keys: pressed, last: form.elements.student.value });
  if (form.dataset.nextStudent) query.set("student", form.dataset.nextStudent);
  if (form.elements.variant) query.set("variant", form.elements.variant.value);
  const link = document.createElement("a");                /* followed as any other, in a browser's tab without a server too */
  link.href = `${form.dataset.next}?${query}`;
  document.body.append(link);
  link.click();
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.target.matches("#student, select, a, button")) return;
  const text = event.target.matches(".typed input");
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (text) return;
  const known = event.location === KeyboardEvent.DOM_KEY_LOCATION_NUMPAD ? PAD[key] ?? key : key;
  if (!press(event, known)) return;
  event.preventDefault();
  count();
});

// A row on which text is typed: Enter keeps it, or says as expected where nothing is typed; an arrow takes the same as before.
for (const one of rows) {
  one.input.addEventListener("keydown", (event) => {
    if (event.key.length === 1 && !event.ctrlKey && !event.metaKey) count();
    if (event.key === "ArrowRight" && one.input.selectionStart === one.input.value.length && like(one)) {
      event.preventDefault();
      count();
      commit(one, like(one)[1]);
    } else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      KEYS[event.key]();
    } else if (event.key === "Escape" && one.cells.length) {
      one.li.classList.remove("text");
      go(at);
    } else if (event.key === "Enter") {
      event.preventDefault();
      count();
      const text = one.input.value.trim();
      if (text === "-") commit(one, "", "nothing");
      else if (text) commit(one, text);
      else if (one.expected) commit(one, one.expected, "expected");
    }
  });
  one.input.addEventListener("input", () => offer(one));
  one.li.addEventListener("click", () => one !== row() && go(rows.indexOf(one)));
}

part("pad").addEventListener("click", (event) => {
  const key = event.target.closest("button")?.dataset.press;
  if (!key || !row()) return;
  count();
  if (inBoxes(row())) pressInBoxes(row(), key);
  else if (key === "Enter") {
    const one = row();
    commit(one, one.input.value || one.expected, one.input.value ? "" : "expected");
  } else if (key === "-") commit(row(), "", "nothing");
  else if (key === "?") commit(row(), "", "unreadable");
  else if (key === "Backspace") (row().input.value = row().input.value.slice(0, -1)), offer(row());
  else (row().input.value += key), offer(row());
});

part("student").addEventListener("keydown", (event) => {
  if (event.key.length === 1) count();
  if (event.key !== "Enter") return;
  event.preventDefault();
  count();
  start();
});
part("next").addEventListener("click", (event) => (event.preventDefault(), next()));
form.addEventListener("submit", (event) => event.preventDefault());

function start() {
  if (!form.elements.student.value.trim()) return part("student").focus();
  part("whose").textContent = form.elements.student.value.trim();
  document.body.classList.add("begun");
  go(0);
}

document.body.classList.add("js");
for (const id of ["pad", "done", "keys", "numbers"]) part(id).hidden = false;
for (const one of rows) {
  one.li.classList.toggle("text", !one.cells.length);
  one.input.value = "";
  show(one);
}
part("student").focus();
part("student").select();
