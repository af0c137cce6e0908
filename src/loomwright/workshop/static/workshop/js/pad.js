// Number pad: its buttons write into a field, where the keyboard works as before.
import { whenShown } from "./page.js";

function press(input, key) {
  const { length } = input.value;
  if (document.activeElement !== input) input.setSelectionRange(length, length);
  const { selectionStart: from, selectionEnd: to } = input;
  if (key === "OL" || input.value === "OL") input.value = /^(back|minus)$/.test(key) ? "" : key;
  else if (key === "minus") input.value = input.value.replace(/^-?/, (sign) => (sign ? "" : "-"));
  else if (key === "back") input.setRangeText("", from === to && from ? from - 1 : from, to, "end");
  else input.setRangeText(key, from, to, "end");
  input.dispatchEvent(new Event("input", { bubbles: true }));
}

const inputOf = (pad) => document.getElementById(pad.dataset.padFor);
const keyAt = (event) => event.target.closest("[data-pad] [data-key]");
document.addEventListener("click", (event) => {
  const input = keyAt(event) && inputOf(keyAt(event).closest("[data-pad]"));
  if (input && !input.readOnly && !input.disabled) press(input, keyAt(event).dataset.key);
});
// The field keeps the focus, and the place in it.
document.addEventListener("mousedown", (event) => keyAt(event) && event.preventDefault());

const TOUCHED = matchMedia("(pointer: coarse)").matches; // there no keyboard need cover the page
whenShown(() => {
  for (const pad of document.querySelectorAll("[data-pad]"))
    if (TOUCHED) inputOf(pad)?.setAttribute("inputmode", "none");
});
