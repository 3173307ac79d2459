// The marking table by keyboard alone: one row is current, and keys press its buttons.
const rows = [...document.querySelectorAll("[data-row]")];
const inForm = (element) => element.matches("input:not([type=checkbox]), select, textarea");
let at = Math.max(0, rows.findIndex((row) => row.matches(".cur")));

function go(to, focus = true) {
  if (!rows[to]) return;
  rows[at]?.classList.remove("cur");
  at = to;
  rows[at].classList.add("cur");
  if (focus) rows[at].focus({ preventScroll: true });
  rows[at].scrollIntoView({ block: "nearest" });
}

const press = (selector, within = rows[at]) => within?.querySelector(selector);

const KEYS = {
  ArrowDown: () => go(at + 1),
  ArrowUp: () => go(at - 1),
  l: () => {
    const lines = [...(rows[at]?.querySelectorAll("details.lines") ?? [])];
    const open = lines.some((one) => !one.open);
    for (const one of lines) one.open = open;
  },
  m: () => press("[data-change]")?.click() ?? press(".hand select")?.focus(),
  p: () => press("[data-whom]")?.focus(),
  w: () => press("[name=paper]")?.click(),
  u: () => press("[data-undo]", document)?.click(),
  n: () => press("[data-next]", document)?.click(),
};

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  if (event.key === "Escape" && inForm(event.target)) return go(at);
  if (inForm(event.target)) return;
  const button = press(`[data-key="${event.key}"]`);
  const act = KEYS[event.key] ?? KEYS[event.key.toLowerCase()];
  if (!button && !act) return;
  event.preventDefault();
  button ? button.click() : act();
});

// A row that was clicked or tabbed into is the current one.
document.addEventListener("focusin", (event) => {
  const row = event.target.closest("[data-row]");
  if (row && row !== rows[at]) go(rows.indexOf(row), false);
});

document.getElementById("keys")?.removeAttribute("hidden");
const asked = rows.findIndex((row) => `#${row.id}` === location.hash);
const first = asked >= 0 ? asked : rows.findIndex((row) => row.matches(".cur"));
if (first >= 0 && location.hash) {
  go(first);
  if (asked >= 0) press(".hand select")?.focus();
}
