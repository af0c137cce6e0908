// Drafts: what is typed and not yet sent survives a reload or a flat battery.
import { addressOf, button, made, whenShown } from "./page.js";

const OMITTED = /^(file|password|submit|button|reset|image|fieldset|output)$/;
// What is typed or chosen in a form, piece by piece: a field, or an option of one.
const piecesOf = (form) =>
  [...form.elements]
    .filter(({ name, type }) => name && !OMITTED.test(type) && !/^(entry|csrf.*)$/.test(name))
    .flatMap((field) => (field.options ? [...field.options] : [field]));
const kind = ({ tagName, type }) =>
  tagName === "OPTION" ? "Selected" : /^(checkbox|radio)$/.test(type) ? "Checked" : "Value";
const typed = (piece) => piece[kind(piece).toLowerCase()];
const rendered = (piece) => [piece.getAttribute("value"), piece["default" + kind(piece)]];

function place(form) {
  const at = (each) => `draft ${location.pathname} ${addressOf(each)} ${each.getAttribute("name")}`;
  const alike = [...document.forms].filter((each) => at(each) === at(form));
  return `${at(form)} ${alike.indexOf(form)}`;
}

/** Takes a form's draft away; `putBack` undoes it. */
export function lift(form) {
  const draft = [place(form), localStorage.getItem(place(form))];
  localStorage.removeItem(draft[0]);
  form.querySelector(":scope > .draft-note")?.remove();
  return draft;
}
export const putBack = ([at, draft]) => draft && localStorage.setItem(at, draft);

document.addEventListener("input", ({ target: { form } }) => {
  if (!form?.matches("form[data-keep]")) return;
  const [was, now] = [rendered, typed].map((work) => piecesOf(form).map(work));
  localStorage.setItem(place(form), JSON.stringify({ was, now }));
});

function restore(form) {
  const draft = JSON.parse(localStorage.getItem(place(form)));
  const pieces = piecesOf(form);
  const same = (work, what) => JSON.stringify(pieces.map(work)) === JSON.stringify(what);
  // Other values from the workshop are newer than the draft, which must not hide them.
  if (!draft || !same(rendered, draft.was) || same(typed, draft.now)) return;
  pieces.forEach((piece, nth) => (piece[kind(piece).toLowerCase()] = draft.now[nth]));
  const away = button("Take it away", () => form.reset(lift(form)));
  const words = "Typed earlier and not sent: put back here.";
  form.prepend(made("p", { className: "draft-note", role: "status" }, words, away));
}

whenShown(() => document.querySelectorAll("form[data-keep]").forEach(restore));
