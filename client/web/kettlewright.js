// <kettlewright-batch service="https://maths.example">: plan a batch of cold-process soap step by step, in the order
// you do the steps (pot, jug, buckets, mould), and see what to weigh. One ES module, no framework, no build step.
//
// It computes nothing: every figure and every sentence about it comes from the service. If the cautions cannot be
// loaded, it shows no figures. It stores nothing, sets no cookie, and needs no inline script or style:
//   default-src 'none'; script-src 'self'; style-src 'self'; img-src blob:; connect-src <service>
// The service must allow the page's origin (KETTLEWRIGHT_CORS_ORIGINS).
//
// Attributes: service (default: the page's own origin); by="mass" (you enter masses of fats; otherwise shares, and the
//   mould gives the size); data-units and data-strings, JSON.
// Properties: strings (see STRINGS); extra, an object merged under the request (cut, residue, locale).
// Slots: before, after. Other content is shown only without JavaScript, for example a plain form.
// Event: batch-planned; its detail is the reply.
// Style: --kw-ink, --kw-paper, --kw-line, --kw-accent, --kw-on-accent, --kw-danger, --kw-warning, --kw-info, --kw-font,
//   --kw-width; ::part(step | heading | field | label | input | button | next | error | trouble | list | caution |
//   danger | warning | info | weigh-list | picture). Colours follow the page's color-scheme. Nothing is animated.

const STRINGS = {
  title: "Plan a batch", progress: "Step {number} of {count}", next: "Next", back: "Back", plan: "Show what to weigh",
  again: "Change something", asking: "Planning the batch.", ready: "Ready. Read the cautions before you weigh.",
  pot: "The pot", jug: "The jug", buckets: "The buckets", mould: "The mould", result: "What to weigh",
  pot_says: "Add one fat at a time, with its share of all fats.",
  pot_says_mass: "Add one fat at a time, with its mass.",
  jug_says: "Wear goggles, gloves and long sleeves. Add the alkali to the water, slowly. Never add water to alkali.",
  buckets_says: "Add a bucket for each colour, in pour order from the bottom. Leave this empty for a single colour.",
  mould_says: "Inside dimensions, without the liner.",
  fat: "Fat", fat_hint: "Type its name; known fats appear as you type.", share_pct: "Share, %",
  mass: "Mass, {mass}", superfat: "Superfat, %", superfat_hint: "Share of the fats that gets no alkali.",
  alkali: "Alkali", NaOH: "Sodium hydroxide", KOH: "Potassium hydroxide", purity_way: "Purity on the label",
  purity_at_least_pct: "at least", purity_pct: "about", purity: "Purity, %", water_way: "Water given as",
  water_to_alkali: "times the mass of alkali", lye_concentration_pct: "lye concentration, %",
  water_pct_of_fats: "% of the fats", water: "How much",
  water_temperature: "Water temperature, {temperature}",
  water_temperature_hint: "Needed to estimate how hot the lye gets.", name: "Name", colour: "Colour",
  shape: "Shape", box: "Box", cylinder: "Cylinder", measured: "Other shape, volume measured with water",
  length: "Length, {length}", width: "Width, {length}", depth: "Depth, {length}", diameter: "Diameter, {length}",
  volume: "Volume, {volume}", headspace: "Free space below the rim, {length}", count: "Number of moulds",
  optional: "Optional.", add: "Add", put_back: "Save", change: "Change", remove: "Remove",
  row: "{name}: {amount}", added: "{name} was added.", removed: "{name} was removed.",
  sum_share_pct: "Total {sum} % of 100 %.", sum_mass: "Total {sum} {mass}.",
  missing: "Fill in this field.", no_fats: "Add a fat first.", unreadable: "Type a number with a decimal point: 12.5",
  cautions: "Cautions", danger: "Danger", warning: "Warning", info: "Note", what: "What", weigh: "Weigh",
  superfat_likely: "Superfat: {asked} % requested, likely {min} to {max} %.",
  picture: "The soap, cut across", picture_missing: "The picture could not be loaded.",
  layers: "From the bottom: {layers}.",
  layer: "{name}, {bottom} to {top} {length}",
  station_jug: "In the jug", station_pot: "In the pot", station_jar: "In a jar: {name}", station_aside: "Set aside",
  station_bucket: "Bucket: {name}", station_sieve: "Sieve: {name}", station_spray: "Spray: {name}",
  station_spray_all: "Spray on top of everything", row_form: "{name}, {form}", row_take: "{mass}, diluted",
  each_mix: "{mass} for each mix",
  afterwards: "From the pour onwards",
  unreachable: "The service does not respond. Your entries are kept; try again.",
  busy: "The service is busy. Try again in {seconds} seconds.",
  busy_soon: "The service is busy. Try again later.",
  failed: "The service returned an error ({status}). Your entries are kept; try again later.",
};
const UNITS = { mass: "g", length: "mm", volume: "mL", temperature: "degC" };
const SEVERITIES = ["danger", "warning", "info"];
const STATION_OF_PLACE = { lye: "jug", pot: "pot", sifting: "sieve" };
const DIMENSIONS = { box: ["length", "width", "depth", "headspace"], cylinder: ["diameter", "depth", "headspace"],
  measured: ["volume"] };
const PATIENCE_MS = 20_000;

const LOOK = new CSSStyleSheet();
LOOK.replaceSync(`
:host { display: block; --_ink: var(--kw-ink, #20261f); --_paper: var(--kw-paper, #fcfbf7);
  --_line: var(--kw-line, #74796f); --_accent: var(--kw-accent, #2d4f3f); --_on-accent: var(--kw-on-accent, #fff);
  --_danger: var(--kw-danger, #8f1a14); --_warning: var(--kw-warning, #6d4700); --_info: var(--kw-info, #2b4a5c); }
@supports (color: light-dark(#000, #fff)) { :host {
  --_ink: var(--kw-ink, light-dark(#20261f, #ecebe4)); --_paper: var(--kw-paper, light-dark(#fcfbf7, #1b1f1c));
  --_line: var(--kw-line, light-dark(#74796f, #8e948b)); --_accent: var(--kw-accent, light-dark(#2d4f3f, #a9d3bb));
  --_on-accent: var(--kw-on-accent, light-dark(#fff, #14201a));
  --_danger: var(--kw-danger, light-dark(#8f1a14, #ffb1a8));
  --_warning: var(--kw-warning, light-dark(#6d4700, #f2cd83));
  --_info: var(--kw-info, light-dark(#2b4a5c, #a8cfe4)); } }
:host([hidden]) { display: none; }
* { box-sizing: border-box; }
section { max-width: var(--kw-width, 40rem); padding: 1rem; color: var(--_ink); background: var(--_paper);
  font: var(--kw-font, inherit); line-height: 1.45; overflow-wrap: anywhere; }
h2, h3, p, ol, ul, table, figure { margin: 0 0 .75rem; } h2 { font-size: 1.5em; } h3 { font-size: 1.1em; }
ol, ul { padding: 0; list-style: none; }
.way { display: flex; flex-wrap: wrap; gap: .25rem 1rem; border-bottom: 1px solid var(--_line); padding-bottom: .5rem; }
.way [aria-current] { font-weight: bold; text-decoration: underline; text-underline-offset: .3em; }
.field { margin-bottom: .9rem; } label { display: block; font-weight: bold; }
.hint { margin: 0; font-size: .9em; }
.field > input, .field > select { margin-top: .35rem; }
input, select, button { font: inherit; min-height: 2.75rem; padding: .35rem .6rem; color: inherit; border-radius: 2px;
  border: 1px solid var(--_line); background: var(--_paper); }
input, select { width: 100%; } input[type=color] { padding: .2rem; max-width: 6rem; display: block; }
button { cursor: pointer; }
.next { background: var(--_accent); color: var(--_on-accent); border-color: var(--_accent); }
:focus-visible { outline: 3px solid var(--_accent); outline-offset: 2px; }
.bar, .row { display: flex; flex-wrap: wrap; gap: .5rem; align-items: center; }
.row { border-bottom: 1px solid var(--_line); padding: .4rem 0; } .row > span { flex: 1 1 12rem; }
.row > .error { flex-basis: 100%; }
.adder { border-left: 4px solid var(--_line); padding-left: .8rem; margin-bottom: 1rem; }
.patch { display: inline-block; vertical-align: middle; width: 1.2em; height: 1.2em; margin-right: .5em; }
.error, .trouble { color: var(--_danger); font-weight: bold; margin: .2rem 0 0; } .error:empty { display: none; }
.trouble { border: 2px solid; padding: .5rem .75rem; margin: 0 0 1rem; }
[aria-invalid=true] { border: 2px solid var(--_danger); }
.caution { border-left: 6px solid var(--_tone); padding: .15rem 0 .15rem .7rem; margin-bottom: .5rem; }
.caution strong { color: var(--_tone); }
.danger { --_tone: var(--_danger); border-left-width: 12px; } .warning { --_tone: var(--_warning); }
.info { --_tone: var(--_info); border-left-style: dotted; } figcaption { font-size: .9em; }
table { width: 100%; border-collapse: collapse; } th { text-align: left; font-weight: normal; }
th, td { padding: .35rem 0; border-bottom: 1px solid var(--_line); vertical-align: top; }
td { text-align: right; white-space: nowrap; padding-left: 1rem; font-weight: bold; }
img { display: block; max-width: 100%; height: auto; background: #fff; padding: .5rem; border: 1px solid var(--_line); }
[role=status] { margin: .75rem 0 0; }
.spoken { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
`);

/** An element with attributes (`part` serves as class as well), listeners (functions) and children; text stays text. */
function make(tag, given = {}, ...children) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(given)) {
    if (typeof value === "function") made.addEventListener(key, value);
    else if ((value ?? false) !== false) made.setAttribute(key, value === true ? "" : value);
  }
  if (given.part) made.className = given.part;
  made.append(...children.flat().filter((child) => child !== null && child !== undefined));
  return made;
}

/** Set what a JSON Pointer names, making the objects on the way. */
function put(body, pointer, value) {
  const names = pointer.slice(1).split("/");
  const last = names.pop();
  names.reduce((node, name) => (node[name] ??= {}), body)[last] = value;
}

/** What went wrong, as text for the user; `errors` as in a problem. */
class Trouble extends Error {
  constructor(message, { status, errors = [] } = {}) {
    super(message);
    Object.assign(this, { status, errors });
  }
}

const number = (text) => (/^-?\d+(\.\d+)?$/.test(text) ? Number(text) : undefined);
const filled = (text, values) => String(text).replace(/\{(\w+)\}/g, (all, name) => values[name] ?? all);
const onScale = ({ take, each_mix: mix, weigh, step, unit }) =>
  `${(take ?? mix ?? weigh).toFixed(Math.max(0, Math.ceil(-Math.log10(step))))} ${unit}`;
const rounded = (value) => String(Number(Number(value).toFixed(1)));
const within = (pointer, place) => pointer === place || pointer.startsWith(`${place}/`);

/** Rows of a weigh list grouped by vessel, and by the portion or the jar it belongs to. */
function stationsOf(rows) {
  const found = new Map();
  for (const row of rows) {
    const kind = row.where !== "mould" ? row.where : row.kind === "dusting" ? "sieve" : "spray";
    const of = row.portion ?? (kind === "jar" ? row.key : "");
    const station = `${kind} ${of}`;
    if (!found.has(station)) found.set(station, { kind, of, rows: [] });
    found.get(station).rows.push(row);
  }
  return [...found.values()];
}

class KettlewrightBatch extends HTMLElement {
  static observedAttributes = ["service", "by", "data-units", "data-strings"];

  #root = this.attachShadow({ mode: "open" });
  #live = make("p", { role: "status" }); // outlives the steps, so that screen readers announce it
  #stage = make("div", { part: "step" });
  #strings = {};
  #values = { alkali: "NaOH", purity_way: "purity_at_least_pct", water_way: "water_to_alkali", shape: "box" };
  #lists = { fats: [], portions: [] };
  #pending = {}; // values in the fields of a list that are not added yet
  #editing = {};
  #errors = {}; // by place: a JSON Pointer, or that of a list with -new for its fields
  #trouble = "";
  #step = 0;
  #reply = null;
  #fats = null;
  #busy = false;

  extra = this.extra ?? {};

  connectedCallback() {
    this.#root.adoptedStyleSheets = [LOOK];
    if (Object.hasOwn(this, "strings")) { // set before this module was loaded
      this.#strings = this.strings;
      delete this.strings;
    }
    this.#show();
    this.#known().catch(() => {}); // asked again, with an error message, when a fat is added
  }

  disconnectedCallback() {
    this.#forgetPicture();
  }

  attributeChangedCallback(name, before, after) {
    if (!this.isConnected || before === after) return;
    if (name === "by") this.#lists.fats = [];
    if (name === "service") {
      this.#fats = null;
      this.#known().catch(() => {});
    }
    this.#show();
  }

  get strings() {
    return { ...STRINGS, ...this.#json("data-strings"), ...this.#strings };
  }

  set strings(given) {
    this.#strings = { ...given };
    if (this.isConnected) this.#show();
  }

  #json(attribute) {
    try {
      return JSON.parse(this.getAttribute(attribute) ?? "{}");
    } catch {
      console.error(`<kettlewright-batch>: ${attribute} is not JSON`);
      return {};
    }
  }

  get #units() {
    return { ...UNITS, ...this.#json("data-units") };
  }

  get #amount() {
    return this.getAttribute("by") === "mass" ? "mass" : "share_pct";
  }

  #say(key, values = {}) {
    const units = this.#units;
    units.temperature = units.temperature.replace("deg", "°");
    return filled(this.strings[key] ?? key, { ...units, ...values });
  }

  // the questions: fields by the location of their value in the request, lists of rows

  get #steps() {
    const v = this.#values;
    const choice = (key, options, at) => ({ key, at, options });
    return [
      { key: "pot", list: { key: "fats", at: "/recipe/fats", fields: ["fat", this.#amount] },
        fields: [{ key: "superfat", at: "/recipe/superfat_pct" }] },
      { key: "jug", fields: [
        choice("alkali", ["NaOH", "KOH"]), choice("purity_way", ["purity_at_least_pct", "purity_pct"]),
        { key: "purity", at: `/recipe/alkalis/0/${v.purity_way}` },
        choice("water_way", ["water_to_alkali", "lye_concentration_pct", "water_pct_of_fats"]),
        { key: "water", at: `/recipe/water/${v.water_way}` },
        { key: "water_temperature", at: "/recipe/temperatures/water" }] },
      { key: "buckets", fields: [],
        list: { key: "portions", at: "/portions", fields: ["name", "share_pct", "colour"] } },
      { key: "mould", fields: [
        choice("shape", Object.keys(DIMENSIONS), "/mould/shape"),
        ...DIMENSIONS[v.shape].map((key) => ({ key, at: `/mould/${key}`, optional: key === "headspace" })),
        { key: "count", at: "/mould/count", optional: true }] },
    ];
  }

  #request() {
    const body = structuredClone(this.extra ?? {});
    body.units = { ...body.units, ...this.#units };
    const recipe = (body.recipe ??= {});
    recipe.fats = this.#lists.fats.map((row) => ({ fat: row.key, [this.#amount]: number(row[this.#amount]) }));
    recipe.alkalis = [{ alkali: this.#values.alkali }];
    recipe.water = { ...recipe.water };
    body.mould = { ...body.mould };
    for (const { fields } of this.#steps) {
      for (const { key, at, options } of fields) {
        const text = this.#values[key];
        if (at && text) put(body, at, options ? text : number(text));
      }
    }
    if (this.#lists.portions.length) {
      body.portions = this.#lists.portions.map((row) => ({ ...row, share_pct: number(row.share_pct) }));
    }
    return body;
  }

  // requests to the service

  async #ask(path, body) {
    const base = (this.getAttribute("service") ?? "").replace(/\/+$/, "");
    let reply;
    try {
      reply = await fetch(base + path, {
        method: body ? "POST" : "GET", headers: body ? { "Content-Type": "application/json" } : {},
        body: body && JSON.stringify(body), credentials: "omit", referrerPolicy: "no-referrer",
        signal: AbortSignal.timeout(PATIENCE_MS) });
    } catch {
      throw new Trouble(this.#say("unreachable"));
    }
    if (reply.ok) return reply;
    const wait = reply.headers.get("Retry-After") ?? "";
    if (reply.status === 429 || reply.status === 503) {
      throw new Trouble(this.#say(/^\d+$/.test(wait) ? "busy" : "busy_soon", { seconds: wait }));
    }
    const problem = await reply.json().catch(() => null); // a proxy answers in HTML
    const detail = typeof problem?.detail === "string" ? problem.detail : this.#say("failed", { status: reply.status });
    throw new Trouble(detail, { status: reply.status, errors: Array.isArray(problem?.errors) ? problem.errors : [] });
  }

  async #read(path, body, good) {
    const reply = await this.#ask(path, body);
    const document = await reply.json().catch(() => null);
    if (!document || !good(document)) throw new Trouble(this.#say("failed", { status: reply.status }));
    return document;
  }

  async #known() {
    if (!this.#fats) {
      this.#fats = (await this.#read("/v1/fats", null, (found) => Array.isArray(found.fats))).fats;
      this.#offer();
    }
    return this.#fats;
  }

  #offer() {
    const options = (this.#fats ?? []).map(({ name }) => make("option", { value: name }));
    this.#root.querySelector("datalist")?.replaceChildren(...options);
  }

  /** One task at a time: a second press does nothing until the first is done. */
  async #pressed(event, task) {
    event.preventDefault();
    if (this.#busy) return;
    this.#busy = true;
    try {
      await task();
    } finally {
      this.#busy = false;
    }
  }

  async #plan() {
    this.#errors = {};
    this.#trouble = "";
    this.#live.textContent = this.#say("asking");
    const asking = this.#step;
    try {
      const body = this.#request();
      const picture = this.#ask("/v1/batches?format=svg", body).then((reply) => reply.text()).catch(() => null);
      const [reply, texts] = await Promise.all([
        this.#read("/v1/batches", body, ({ weigh_list: rows, cautions, standing_cautions: standing }) =>
          [rows, cautions, standing].every(Array.isArray)),
        this.#read(`/v1/cautions?locale=${encodeURIComponent(body.locale ?? "en")}`, null, ({ cautions }) => Array.isArray(cautions))]);
      this.#reply = { ...reply, texts: texts.cautions, picture: await picture };
      this.#go(this.#steps.length);
      this.#live.textContent = this.#say("ready");
      this.dispatchEvent(new CustomEvent("batch-planned", { detail: reply, bubbles: true, composed: true }));
    } catch (error) {
      this.#step = asking;
      this.#placeErrors(error instanceof Trouble ? error : new Trouble(this.#say("failed", { status: "?" })));
    }
  }

  /** Each error is shown beside its field or row; one without a location here is shown above the step. */
  #placeErrors({ message, errors }) {
    const places = this.#steps.flatMap(({ fields, list }, step) => [
      ...(list ? this.#lists[list.key].map((_, i) => ({ at: `${list.at}/${i}`, step })) : []),
      ...(list ? [{ at: list.at, step }] : []), ...fields.filter(({ at }) => at).map(({ at }) => ({ at, step }))]);
    const homeless = [];
    let first = this.#steps.length;
    for (const { pointer = "", detail } of errors) {
      const place = places.find(({ at }) => within(pointer, at))
        ?? places.find(({ at }) => pointer && within(at, pointer));
      if (!place) { homeless.push(detail); continue; }
      this.#errors[place.at] = [this.#errors[place.at], detail].filter(Boolean).join(" ");
      first = Math.min(first, place.step);
    }
    this.#trouble = homeless.join(" ") || (errors.length ? "" : message);
    this.#go(first < this.#steps.length ? first : this.#step);
  }

  // the steps

  #go(step) {
    this.#step = step;
    this.#live.textContent = "";
    this.#show();
    const found = (selector) => this.#root.querySelector(selector);
    (found("[aria-invalid=true], .row.wrong button") ?? found(".trouble") ?? found("h2")).focus();
  }

  #show() {
    this.#forgetPicture();
    const steps = this.#steps;
    const step = steps[this.#step];
    const way = [...steps.map(({ key }) => key), "result"].map((key, i) => make(
      "li", { "aria-current": i === this.#step ? "step" : null }, this.#say(key)));
    if (!this.#live.isConnected) {
      this.#root.replaceChildren(make("section", {}, make("slot", { name: "before" }), this.#stage, this.#live,
                                      make("slot", { name: "after" })));
    }
    this.#live.className = step ? "" : "spoken";
    this.#root.firstElementChild.setAttribute("aria-label", this.#say("title"));
    this.#stage.replaceChildren(make("ol", { class: "way" }, way),
                                ...(step ? this.#question(step) : this.#result(this.#reply)));
    this.#offer();
  }

  #heading(key) {
    return make("h2", { part: "heading", tabindex: "-1" }, this.#say(key));
  }

  #button(key, click, label) {
    return make("button", { part: "button", type: "button", click, "aria-label": label }, this.#say(key));
  }

  #question({ key, list, fields }) {
    const last = this.#step === this.#steps.length - 1;
    const says = key === "pot" && this.#amount === "mass" ? "pot_says_mass" : `${key}_says`;
    const form = make("form", { novalidate: true, submit: (event) => this.#pressed(event, () => this.#goOn()) },
      fields.map((field) => this.#field(field)),
      make("div", { class: "bar" },
        this.#step ? this.#button("back", () => this.#go(this.#step - 1)) : null,
        make("button", { part: "button next", type: "submit" }, this.#say(last ? "plan" : "next"))));
    const trouble = this.#trouble && make("p", { part: "trouble", role: "alert", tabindex: "-1" }, this.#trouble);
    const where = this.#say("progress", { number: this.#step + 1, count: this.#steps.length });
    return [make("p", { class: "hint" }, where), this.#heading(key), trouble, make("p", {}, this.#say(says)),
            ...(list ? this.#rows(list) : []), form].filter(Boolean);
  }

  /** One field with its label, hint and error; `store` keeps its text. */
  #field({ key, at = key, options, optional }, store = this.#values) {
    const hint = this.strings[`${key}_hint`] ? `${key}_hint` : optional ? "optional" : "";
    const message = this.#errors[at];
    const error = make("p", { part: "error", id: `${key}-error` }, message ?? "");
    const attributes = {
      id: key, part: "input", "aria-describedby": `${hint ? `${key}-hint ` : ""}${key}-error`,
      "aria-invalid": message ? "true" : null, "aria-required": options || optional ? null : "true",
      input: ({ target }) => {
        store[key] = target.value;
        delete this.#errors[at];
        error.textContent = "";
        target.removeAttribute("aria-invalid");
      } };
    let input;
    if (options) {
      attributes.change = () => { this.#show(); this.#root.getElementById(key).focus(); };
      input = make("select", attributes, options.map((value) => make(
        "option", { value, selected: value === store[key] }, this.#say(value))));
    } else if (key === "colour") {
      store[key] ??= "#d9c9a8";
      input = make("input", { ...attributes, type: "color", "aria-required": null, value: store[key] });
    } else {
      const words = key === "fat" || key === "name";
      input = make("input", {
        ...attributes, type: "text", inputmode: words ? "text" : "decimal", autocomplete: "off",
        list: key === "fat" ? "known-fats" : null, value: store[key] ?? "" });
    }
    return make("div", { part: "field" }, make("label", { part: "label", for: key }, this.#say(key)),
                hint ? make("p", { class: "hint", id: `${key}-hint` }, this.#say(hint)) : null, input, error);
  }

  /** Whether all fields are valid; each wrong field gets its error. */
  #check(fields, store = this.#values) {
    const wrong = fields.filter(({ key, at = key, options, optional }) => {
      const text = (store[key] = (store[key] ?? "").trim());
      const words = options || key === "fat" || key === "name" || key === "colour";
      const error = !text ? (optional ? "" : "missing") : !words && number(text) === undefined ? "unreadable" : "";
      if (error) this.#errors[at] = this.#say(error);
      return error;
    });
    return wrong.length === 0;
  }

  async #goOn() {
    const { list, fields } = this.#steps[this.#step];
    this.#trouble = "";
    const left = list && list.fields.some((key) => key !== "colour" && (this.#pending[list.key] ?? {})[key]);
    if (left && !(await this.#add(list))) return; // typed but not added: do not lose it silently
    let good = this.#check(fields);
    if (list?.key === "fats" && !this.#lists.fats.length) {
      this.#errors[list.fields[0]] = this.#say("no_fats");
      good = false;
    }
    if (!good) this.#go(this.#step);
    else if (this.#step === this.#steps.length - 1) await this.#plan();
    else this.#go(this.#step + 1);
  }

  // lists: one row at a time

  #rows(list) {
    const rows = this.#lists[list.key];
    const store = (this.#pending[list.key] ??= {});
    const amount = list.fields[1];
    const editing = this.#editing[list.key];
    const button = (key, row, action) => this.#button(key, action, `${this.#say(key)}: ${row.name}`);
    const shown = rows.map((row, i) => {
      const error = this.#errors[`${list.at}/${i}`];
      const patch = make("span", { class: "patch", "aria-hidden": "true" });
      if (row.colour) patch.style.setProperty("background", row.colour); // CSSOM: no inline style in the policy's sense
      return make("li", { class: error ? "row wrong" : "row" },
        make("span", {}, row.colour ? patch : null, this.#say("row", {
          name: row.name, amount: `${row[amount]} ${amount === "mass" ? this.#units.mass : "%"}` })),
        make("div", { class: "bar" }, button("change", row, () => this.#edit(list, i)),
             button("remove", row, () => this.#remove(list, i))),
        error ? make("p", { part: "error" }, error) : null);
    });
    const sum = rows.reduce((all, row) => all + number(row[amount]), 0);
    return [
      make("form", { class: "adder", novalidate: true, submit: (event) => this.#pressed(event, () => this.#add(list)) },
        list.fields.map((key) => this.#field({ key }, store)),
        list.key === "fats" ? make("datalist", { id: "known-fats" }) : null,
        make("button", { part: "button", type: "submit" }, this.#say(editing === undefined ? "add" : "put_back"))),
      rows.length ? make("ol", { part: "list" }, shown) : null,
      rows.length ? make("p", {}, this.#say(`sum_${amount}`, { sum: rounded(sum) })) : null,
      this.#errors[list.at] ? make("p", { part: "error", role: "alert" }, this.#errors[list.at]) : null];
  }

  /** Adds the values in the fields to the list; false if they are invalid. */
  async #add(list) {
    const store = this.#pending[list.key];
    const rows = this.#lists[list.key];
    let good = this.#check(list.fields.map((key) => ({ key })), store);
    const row = { ...store };
    if (good && list.key === "fats") good = await this.#name(row);
    if (!good) {
      this.#go(this.#step);
      return false;
    }
    const i = this.#editing[list.key] ?? rows.length;
    rows[i] = row;
    this.#settle(list, "added", row);
    return true;
  }

  /** Looks up the fat by the name typed: in the table, otherwise at the service. */
  async #name(row) {
    const typed = row.fat.toLowerCase();
    try {
      const found = (await this.#known()).find(({ key, name }) => key === typed || name.toLowerCase() === typed)
        ?? await this.#read(`/v1/fats/${encodeURIComponent(row.fat)}`, null, (fat) => fat.key);
      Object.assign(row, { key: found.key, name: found.name });
      return true;
    } catch ({ message, status }) {
      if (status === 404) this.#errors.fat = message;
      else this.#trouble = message;
      return false;
    }
  }

  #edit(list, i) {
    this.#editing[list.key] = i;
    this.#pending[list.key] = { ...this.#lists[list.key][i] };
    this.#show();
    this.#root.getElementById(list.fields[0]).focus();
  }

  #remove(list, i) {
    const [row] = this.#lists[list.key].splice(i, 1);
    this.#settle(list, "removed", row);
  }

  #settle(list, said, { name }) {
    delete this.#editing[list.key];
    this.#pending[list.key] = {};
    this.#trouble = "";
    for (const at of Object.keys(this.#errors)) { // rows have moved: their errors no longer apply
      if (within(at, list.at) || list.fields.includes(at)) delete this.#errors[at];
    }
    this.#show();
    this.#live.textContent = this.#say(said, { name });
    this.#root.getElementById(list.fields[0]).focus();
  }

  // the result

  #result(reply) {
    const always = reply.texts.filter(({ key }) => reply.standing_cautions.includes(key));
    const stations = stationsOf(reply.weigh_list);
    const kinds = stations.map(({ kind }) => kind);
    const firsts = new Set(stations.filter((_, i) => kinds.indexOf(kinds[i]) === i));
    const stationOf = ({ place }) => (kinds.includes(STATION_OF_PLACE[place]) ? STATION_OF_PLACE[place] : "afterwards");
    const standing = (kind) => always.filter((one) => stationOf(one) === kind);
    const { asked_pct: asked, likely_pct: likely } = reply.lye?.superfat ?? {};
    return [
      this.#heading("result"), ...this.#cautions(reply.cautions, "cautions"), this.#picture(reply),
      likely && asked !== undefined ? make("p", {}, this.#say("superfat_likely", {
        asked: rounded(asked), min: rounded(likely.min), max: rounded(likely.max) })) : null,
      ...stations.flatMap((one, i) => this.#station(
        one, `station-${i}`, reply, firsts.has(one) ? standing(one.kind) : [])),
      ...this.#cautions(standing("afterwards"), "afterwards"),
      this.#button("again", () => this.#go(0)),
    ].filter(Boolean);
  }

  #station({ kind, of, rows }, id, { portions = [] }, cautions) {
    const name = kind === "jar" ? rows[0].name : portions.find(({ key }) => key === of)?.name ?? of;
    return [
      make("h3", { id }, this.#say(kind === "spray" && !of ? "station_spray_all" : `station_${kind}`, { name })),
      ...this.#cautions(cautions),
      make("table", { part: "weigh-list", "aria-labelledby": id },
        make("thead", { class: "spoken" }, make("tr", {}, ["what", "weigh"].map(
          (word) => make("th", { scope: "col" }, this.#say(word))))),
        make("tbody", {}, rows.map((row) => make("tr", {},
          make("th", { scope: "row" }, row.form ? this.#say("row_form", row) : row.name),
          make("td", {}, this.#mass(row))))))];
  }

  #mass(row) {
    const mass = row.take === undefined ? onScale(row) : this.#say("row_take", { mass: onScale(row) });
    return row.each_mix === undefined ? mass : this.#say("each_mix", { mass });
  }

  #cautions(given, title) {
    if (!given.length) return [];
    const sorted = [...given].sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity));
    const rows = sorted.map(({ severity, message }) => make(
      "li", { part: `caution ${severity}` }, make("strong", {}, `${this.#say(severity)}: `), message));
    return [title ? make("h3", {}, this.#say(title)) : null, make("ul", {}, rows)];
  }

  /** As an image, never parsed here: what is in the SVG can neither run nor load anything. */
  #picture({ picture, portions = [], units = {} }) {
    const missing = make("p", {}, this.#say("picture_missing"));
    if (picture === null) return missing;
    const layers = portions.filter(({ layer }) => layer).map(({ name, layer }) => this.#say("layer", {
      name, bottom: rounded(layer.bottom), top: rounded(layer.top), length: units.length }));
    const src = URL.createObjectURL(new Blob([picture], { type: "image/svg+xml" }));
    const figure = make("figure", {}, make("img", {
      part: "picture", src, alt: this.#say("picture"), error: () => figure.replaceWith(missing) }));
    if (layers.length) figure.append(make("figcaption", {}, this.#say("layers", { layers: layers.join("; ") })));
    return figure;
  }

  #forgetPicture() {
    const src = this.#root.querySelector("img")?.src;
    if (src) URL.revokeObjectURL(src);
  }
}

customElements.define("kettlewright-batch", KettlewrightBatch);
