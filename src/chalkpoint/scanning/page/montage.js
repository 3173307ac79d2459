// A montage of boxes: like readings together; click or press what is not as it was read.
"use strict";

const WORDS = { bits: ["0", "1", "blank", "crossed", "?"], ticks: ["ticked", "blank"] };
const SHOWN = { blank: "–", crossed: "×", ticked: "✓" };

// The words of a box in the order in which clicks go through them: from how it was read to what is likeliest.
function wordsOf(button) {
  const words = WORDS[button.closest("[data-kind]").dataset.kind];
  const start = button.dataset.start;
  return start ? [start, ...words.filter((word) => word !== start)] : words;
}

function show(button, word) {
  const changed = word !== button.dataset.start;
  button.value = word;
  button.setAttribute("aria-pressed", String(changed && word !== ""));
  button.querySelector(".said").textContent = changed ? SHOWN[word] || word : "";
  button.setAttribute("aria-label", `${button.dataset.where}: ${word || "not said yet"}`);
  const field = button.parentElement.querySelector("input[type=hidden], select");
  if (field) field.value = word;
}

function montage(root, changed) {
  const undone = [];
  const say = (button, word) => {
    undone.push([button, button.value]);
    show(button, word);
    changed(button);
  };
  root.addEventListener("click", (event) => {
    const button = event.target.closest("button.box");
    if (!button) return;
    const words = wordsOf(button);
    say(button, words[(words.indexOf(button.value) + 1) % words.length]);
  });
  root.addEventListener("focusin", (event) => {
    const button = event.target.closest("button.box");
    if (button) stands(button);
  });
  root.addEventListener("keydown", (event) => {
    const button = event.target.closest("button.box");
    if (!button || event.ctrlKey || event.metaKey || event.altKey) return;
    const boxes = [...button.closest("[data-kind]").querySelectorAll("button.box")];
    const at = boxes.indexOf(button);
    const across = boxes.filter((one) => one.offsetTop === boxes[0].offsetTop).length;
    const steps = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: across, ArrowUp: -across };
    const keys = { 0: "0", 1: "1", "?": "?", "-": "blank", x: "crossed", y: "ticked", n: "blank" };
    if (event.key in steps) boxes[at + steps[event.key]]?.focus();
    else if (keys[event.key] && wordsOf(button).includes(keys[event.key])) say(button, keys[event.key]);
    else if (event.key === "u" && undone.length) {
      const [last, word] = undone.pop();
      show(last, word);
      changed(last);
      last.focus();
    } else return;
    event.preventDefault();
  });
  for (const button of root.querySelectorAll("button.box")) show(button, button.value);
}

// The line that a box stands in, at the side.
function stands(button) {
  const place = document.getElementById("stands");
  if (!place) return;
  const [x, y, width, height] = button.dataset.line.split(" ").map(Number);
  const picture = button.querySelector("image");
  const name = "http://www.w3.org/2000/svg";
  const drawn = document.createElementNS(name, "svg");
  drawn.setAttribute("viewBox", button.dataset.line);
  drawn.setAttribute("class", "line");
  drawn.append(picture.cloneNode());
  const ring = document.createElementNS(name, "rect");
  const box = button.dataset.box.split(" ");
  ["x", "y", "width", "height"].forEach((side, at) => ring.setAttribute(side, box[at]));
  ring.setAttribute("class", "ring");
  if (width && height) drawn.append(ring);
  const words = document.createElement("p");
  words.textContent = button.dataset.where;
  place.replaceChildren(words, drawn);
}

// Where words are typed: Enter goes on, and an arrow takes what was typed before on the sheet, the latest first.
document.addEventListener("keydown", (event) => {
  if (!event.target.matches("[data-kind=type] .whole input")) return;
  const fields = [...event.target.closest("[data-kind]").querySelectorAll(".whole input")];
  const at = fields.indexOf(event.target);
  if (event.key === "Enter" && fields[at + 1]) fields[at + 1].focus();
  else if (event.key === "ArrowDown" && at) {
    const typed = fields.slice(0, at).map((field) => field.value).filter(Boolean).reverse();
    const before = [...new Set(typed)];
    event.target.value = before[(before.indexOf(event.target.value) + 1) % before.length] || "";
    event.target.dispatchEvent(new Event("input", { bubbles: true }));
  } else return;
  event.preventDefault();
});

// On a page of the app a sheet is a form, whole without script: here each list of words becomes a box to click.
for (const form of document.querySelectorAll("form.montage")) {
  for (const item of form.querySelectorAll("li[data-where]")) {
    const words = item.querySelector("select");
    const button = document.createElement("button");
    const said = document.createElement("b");
    button.type = "button";
    button.className = "box";
    said.className = "said";
    Object.assign(button.dataset, item.dataset);
    button.value = words.value;
    button.append(item.querySelector("svg"), said);
    words.hidden = true;
    item.prepend(button);
  }
  montage(form, () => {});
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("button.box")) return;
    event.preventDefault();
    form.requestSubmit();
  });
  form.querySelector("button.box")?.focus();
}
