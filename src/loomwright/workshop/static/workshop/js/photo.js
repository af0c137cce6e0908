// A chosen photo is shown at once, with its size; one that is too large is told at once.
import { made } from "./page.js";

const MOST = 40e6;
const sized = (n) => (n < 1e6 ? `${Math.ceil(n / 1e3)} kB` : `${(n / 1e6).toFixed(1)} MB`);
const named = (photo) => `${photo.name}, ${sized(photo.size)}`;
const picture = (photo) => made("img", { src: URL.createObjectURL(photo), alt: "" });
const preview = (photo) => made("figure", {}, picture(photo), made("figcaption", {}, named(photo)));

function look(input) {
  const large = [...input.files].filter(({ size }) => size > MOST).map(named).join("; ");
  const words = large && `${large}: too large, at most 40 MB. Set the camera to a smaller picture.`;
  input.setCustomValidity(words);
  if (input.nextElementSibling?.matches(".photo-chosen")) input.nextElementSibling.remove();
  if (!input.files.length) return;
  const properties = { className: "photo-chosen", role: "status" };
  input.after(made("div", properties, ...[...input.files].map(preview), words));
}

const isPhoto = (field) => field.matches('input[type=file][accept*="image"]');
document.addEventListener("change", ({ target }) => isPhoto(target) && look(target));
// The fields of a form are empty only after its event.
document.addEventListener("reset", ({ target }) =>
  setTimeout(() => [...target.elements].filter(isPhoto).forEach(look)),
);
