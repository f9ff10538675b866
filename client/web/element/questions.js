// A step as a form. Every field has a label, and a line for its error or for how its number was read.
import { button, make } from "./make.js";
import { isNumber } from "./steps.js";

const idOf = ({ key, at }) => key + at.replaceAll("/", "-");

const optionsOf = (choices, chosen) => choices.map(
  ([value, name]) => make("option", { value, selected: value === chosen }, name));

const fatsOf = ({ fats }) => [["", "…"], ...fats()];

/** Put the fats into a step that was shown before they were known, without taking the focus from anyone. */
export function offerFats(root, kit) {
  for (const select of root.querySelectorAll(".fat select")) select.replaceChildren(...optionsOf(fatsOf(kit), select.value));
}

/** One field; those of rows are numbered, for who cannot see the row. */
function fieldOf(field, kit, number) {
  const { key, at, kind, store } = field;
  const { say, errorOf } = kit;
  const id = idOf(field);
  const choices = kind === "fat" ? fatsOf(kit) : Array.isArray(kind) && kind.map((choice) => [choice, say(choice)]);
  const numeric = isNumber(kind);
  const line = make("p", { id: `${id}-line` });
  const follow = () => {
    line.className = errorOf(at) ? "error" : "";
    line.textContent = errorOf(at) ?? (numeric ? kit.reading(store[key]) : "");
  };
  follow();
  const input = make(choices ? "select" : "input", {
    id, part: "input", "aria-describedby": line.id, "aria-invalid": errorOf(at) && "true",
    "aria-label": number && `${say(key)}: ${number}`, "aria-required": kind === "number" && "true",
    type: choices ? null : kind === "colour" ? "color" : "text", inputmode: numeric && "decimal", autocomplete: "off",
    value: store[key] ?? "", change: Array.isArray(kind) && (() => kit.show(`[id="${id}"]`)),
    input: () => {
      store[key] = input.value;
      kit.mend(at);
      input.removeAttribute("aria-invalid");
      follow();
    } }, choices ? optionsOf(choices, store[key]) : []);
  return make("div", { part: `field ${Array.isArray(kind) ? "" : kind}` }, make("label", { part: "label", for: id }, say(key)),
              input, line);
}

/** The rows of a list, their sum, which follows what is typed. */
function listOf({ at, rows }, key, kit) {
  const { say } = kit;
  const wrong = kit.errorOf(at);
  const error = make("p", { part: "error", tabindex: "-1", role: wrong && "alert" }, wrong);
  const sum = make("p");
  const follow = () => {
    const total = rows.reduce((all, [, { store, key }]) => all + (kit.read(store[key]) ?? 0), 0);
    sum.textContent = say(`sum_${rows[0]?.[1].key}`, { sum: kit.write(total, 4) });
  };
  follow();
  return make("div", { class: "vessel", input: () => {
    kit.mend(at);
    error.textContent = "";
    follow();
  } },
  make("ol", { part: "list" }, rows.map((row, i) => make(
    "li", {}, row.map((field) => fieldOf(field, kit, i + 1)), button("", "✕", () => kit.remove(at, i), {
      "aria-label": `${say("remove")}: ${i + 1}` })))),
  error, rows.length ? sum : [], button("add", say(`add_${key}`), () => kit.add(at)));
}

/** What is shown of a step. */
export function question({ key, list, fields }, kit, number, count) {
  const { say } = kit;
  const trouble = kit.trouble();
  return [
    make("h2", { part: "heading", tabindex: "-1" }, say(key)),
    trouble && make("p", { part: "trouble", role: "alert", tabindex: "-1" }, trouble),
    make("p", {}, say(`${key}_says`)),
    make("form", { submit: kit.next },
      list && listOf(list, key, kit), fields.map((field) => fieldOf(field, kit)),
      make("div", { class: "bar" }, number && button("", say("back"), kit.back),
        make("button", { part: "button next" }, say(number + 1 === count ? "result" : "next")))),
  ].filter(Boolean);
}
