// A chosen photo is shown at once, with its size; one that is too large is told at once.

import { made } from "./page.js";

const MOST = 40e6;
const named = ({ name, size }) =>
  `${name}, ${size < 1e6 ? `${Math.ceil(size / 1e3)} kB` : `${(size / 1e6).toFixed(1)} MB`}`;

function preview(photo) {
  const src = URL.createObjectURL(photo);
  const onload = () => URL.revokeObjectURL(src);
  const image = made("img", { src, alt: "", onload, onerror: onload });
  return made("figure", {}, image, made("figcaption", {}, named(photo)));
}

function look(input) {
  const photos = [...input.files];
  const large = photos.filter(({ size }) => size > MOST).map(named).join("; ");
  const words = large && `${large}: too large, at most 40 MB. Set the camera to a smaller picture.`;
  if (input.nextElementSibling?.matches(".photo-chosen")) input.nextElementSibling.remove();
  const parts = [...photos.map(preview), words];
  const place = made("div", { className: "photo-chosen", role: "status" }, ...parts);
  if (photos.length) input.after(place);
  input.setCustomValidity(words);
}

const isPhoto = (field) => field.matches('input[type=file][accept*="image"]');
document.addEventListener("change", ({ target }) => isPhoto(target) && look(target));
// The fields of a form are empty only after its event.
document.addEventListener("reset", ({ target }) =>
  setTimeout(() => [...target.elements].filter(isPhoto).forEach(look)),
);
