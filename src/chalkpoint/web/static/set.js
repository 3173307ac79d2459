// A blueprint's form keeps itself when a choice changes, and shows the counts and the pages that follow from it.
// Everything here works by the form's own buttons too.
const TYPED = 500;
const AGAIN = 1500;
let timer = 0;
let typing = 0;
let turn = 0;
let place = location.href;

async function show(answer) {
  const mine = (turn += 1);
  const got = await answer;
  const text = await got.text();
  if (mine !== turn) return;
  place = got.url; // with what was asked for, which is asked again until it is there
  const page = new DOMParser().parseFromString(text, "text/html");
  const { id: focused, value: typed } = document.activeElement ?? {};
  const open = [...document.querySelectorAll("details")].map((one) => one.open);
  document.getElementById("main").replaceWith(page.getElementById("main"));
  const folds = [...document.querySelectorAll("details")];
  if (folds.length === open.length) folds.forEach((one, at) => { one.open = one.open || open[at]; });
  const again = focused && document.getElementById(focused);
  if (again) {
    again.focus({ preventScroll: true });
    if (again.type === "text") {
      again.value = typed; // what was typed since it was asked is not lost
      again.setSelectionRange(again.value.length, again.value.length);
    }
  }
  wait();
}

function send(form, more) {
  const entries = new FormData(form);
  for (const [name, value] of more) entries.set(name, value);
  show(fetch(form.action, { method: "POST", body: entries, credentials: "same-origin" })).catch(() => {});
}

function wait() {
  clearTimeout(timer);
  if (document.querySelector("[data-waiting]")) {
    timer = setTimeout(() => show(fetch(place, { credentials: "same-origin" })).catch(() => {}), AGAIN);
  }
}

document.addEventListener("change", (event) => {
  const form = event.target.closest("#blueprint-form");
  if (form && event.target.dataset.ask === undefined && form.reportValidity()) send(form, [["do", ""]]);
});

document.addEventListener("input", (event) => {
  const { ask } = event.target.dataset;
  if (ask === undefined || !event.target.closest("#blueprint-form")) return;
  clearTimeout(typing);
  typing = setTimeout(() => send(document.getElementById("blueprint-form"), [["do", `show:${ask}`]]), TYPED);
});

wait();
