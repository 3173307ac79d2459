// Large keys for a phone: they write into the line, and rub out.
const keys = document.getElementById("keys");
const line = document.getElementById("line");
if (keys && line) {
  keys.hidden = false;
  keys.addEventListener("click", (event) => {
    const key = event.target.dataset.key;
    if (key) line.value = key === "back" ? line.value.slice(0, -1) : line.value + key;
  });
}
