"use strict";
/* Compares what is written with what is known, letter by letter; nothing is computed here. */
(() => {
  const known = JSON.parse(document.getElementById("known").textContent);
  const hints = new Map();
  const plain = (text) => text.toLowerCase().replace(/[\s.]/g, "");
  const box = (button) => document.getElementById(button.dataset.for);
  const lineOf = (input) => known[input.dataset.question - 1][input.dataset.line];
  const say = (input, text, kind) => {
    const said = document.getElementById(input.id + "said");
    said.textContent = text; said.className = "said " + kind;
  };
  const check = (input) => {
    const written = plain(input.value), line = lineOf(input);
    if (!written) { say(input, "Write this line first.", "wrong"); return; }
    if (written === line.expects) { say(input, "Right.", "right"); return; }
    const doubt = line.wrong[written];
    if (doubt) { say(input, "Not yet. " + doubt, "wrong"); return; }
    if (/^[01]+$/.test(written) && written.length !== line.expects.length && /^[01]+$/.test(line.expects)) {
      say(input, "Not yet: this line has " + written.length + " digits; it needs " + line.expects.length + ".", "wrong"); return;
    }
    say(input, "Not yet. Compare it with the line before, or ask for a hint.", "wrong");
  };
  const hint = (input) => {
    const depth = Math.min(hints.get(input.id) ?? 0, 2);
    hints.set(input.id, depth + 1);
    say(input, "Hint " + (depth + 1) + " of 3. " + lineOf(input).hints[depth], "");
  };
  document.querySelectorAll(".check").forEach((button) => button.addEventListener("click", () => check(box(button))));
  document.querySelectorAll(".hint").forEach((button) => button.addEventListener("click", () => hint(box(button))));
  document.getElementById("sheet").addEventListener("submit", (event) => event.preventDefault());
  document.getElementById("sheet").addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("input")) { event.preventDefault(); check(event.target); }
  });
  const cell = (text) => /[",\n]/.test(text) ? '"' + text.replaceAll('"', '""') + '"' : text;
  document.getElementById("save").addEventListener("click", () => {
    const student = document.getElementById("student").value.trim() || "unnamed";
    const rows = [...document.querySelectorAll("#sheet input")].filter((input) => input.name && input.value.trim())
      .map((input) => [student, "1", input.dataset.question, input.name, input.value.trim()]);
    const table = [["student", "variant", "question", "line", "written"], ...rows].map((row) => row.map(cell).join(",")).join("\n") + "\n";
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([table], { type: "text/csv" }));
    link.download = "answers-" + student.replace(/[^\w-]+/g, "-") + ".csv";
    link.click();
    document.getElementById("saved").textContent = "Saved as " + link.download + ". Hand this file in.";
  });
})();
