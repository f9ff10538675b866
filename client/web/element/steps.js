// The questions in the order of the work, and the request they make. A field's `at` is the JSON Pointer of its value in
// the request, so that an error of the service finds its field; one without a slash at its start is not sent.

const DIMENSIONS = { box: ["length", "width", "depth"], cylinder: ["diameter", "depth"], measured: ["volume"] };
const BAR = "/cut/bar/thickness";
export const FATS = "/recipe/fats", PORTIONS = "/portions";

/** Colours for new buckets: neighbours differ in lightness, so that they differ for every eye and in grey. */
export const PALETTE = ["#6b2a20", "#efe3c4", "#2f5d73", "#d9912b", "#1f1d1b", "#7fae9a"];

export const START = { alkali: "NaOH", purity_way: "purity_at_least_pct", water_way: "water_to_alkali", shape: "box" };

/**
 * The steps. `values` and the rows of `lists` hold what was typed; `amount` is share_pct or mass. A field's `kind` is
 * fat, words, colour, number, optional (a number), or a list of choices.
 */
export function stepsOf(values, lists, amount) {
  const one = (key, at, kind = "number") => ({ key, at, kind, store: values });
  const list = (at, kinds) => ({ at, rows: lists[at].map((store, i) => Object.entries(kinds).map(
    ([key, kind]) => ({ key, at: `${at}/${i}/${key}`, kind, store }))) });
  const steps = [
    { key: "pot", list: list(FATS, { fat: "fat", [amount]: "number" }), fields: [one("superfat", "/recipe/superfat_pct")] },
    { key: "jug", fields: [
      one("alkali", "/recipe/alkalis/0/alkali", ["NaOH", "KOH"]),
      one("purity_way", "", ["purity_at_least_pct", "purity_pct"]),
      one("purity", `/recipe/alkalis/0/${values.purity_way}`),
      one("water_way", "", ["water_to_alkali", "lye_concentration_pct", "water_pct_of_fats"]),
      one("water", `/recipe/water/${values.water_way}`), one("water_temperature", "/recipe/temperatures/water")] },
    { key: "buckets", list: list(PORTIONS, { name: "words", share_pct: "number", colour: "colour" }), fields: [] },
    { key: "mould", fields: [
      one("shape", "/mould/shape", Object.keys(DIMENSIONS)),
      ...DIMENSIONS[values.shape].map((key) => one(key, `/mould/${key}`)),
      ...(values.shape === "measured" ? [] : [one("headspace", "/mould/headspace", "optional"), one("bar", BAR, "optional")]),
      one("count", "/mould/count", "optional")] },
  ];
  for (const step of steps) step.all = [...(step.list?.rows.flat() ?? []), ...step.fields];
  return steps;
}

export const isNumber = (kind) => kind === "number" || kind === "optional";

/** The body of a batch: `extra` with the answers on top. `read` reads a number. */
export function requestOf(steps, extra, units, locale, read) {
  const body = { locale, ...structuredClone(extra ?? {}) };
  body.units = { ...body.units, ...units };
  body.recipe = { ...body.recipe, fats: [], alkalis: [{}] };
  for (const { at, kind, store, key } of steps.flatMap(({ all }) => all)) {
    const text = store[key];
    if (!at || !text) continue;
    if (at === BAR) body.cut = { ...body.cut, bar: {} }; // one way to size a bar
    if (at.startsWith(`${PORTIONS}/0/name`)) body.portions = [];
    const names = at.slice(1).split("/");
    const last = names.pop();
    names.reduce((node, name) => (node[name] ??= {}), body)[last] = isNumber(kind) ? read(text) : text;
  }
  return body;
}
