// The answer: what to weigh, vessel by vessel in the order of the work, with the cautions of each beside it.
import { button, make, styled } from "./make.js";

const SEVERITIES = ["danger", "warning", "info"];
const VESSEL_OF_PLACE = { lye: "jug", pot: "pot", sifting: "sieve", pouring: "mould" };

/** Rows of a weigh list grouped by vessel, and by the portion or the jar it belongs to. */
function stationsOf(rows) {
  const found = {};
  for (const row of rows) {
    const kind = row.where !== "mould" ? row.where : row.kind === "dusting" ? "sieve" : "spray";
    const of = row.portion ?? (kind === "jar" ? row.key : "");
    (found[`${kind} ${of}`] ??= { kind, of, rows: [] }).rows.push(row);
  }
  return [...Object.values(found), { kind: "mould", rows: [] }, { kind: "later", rows: [] }];
}

/** Cautions, the most severe first, to fold once they are read; they stay folded until the cautions are others. */
function cautionsOf(cautions, { say, folded }) {
  if (!cautions.length) return null;
  const of = (severity) => cautions.filter((one) => one.severity === severity);
  const sorted = SEVERITIES.flatMap(of);
  const texts = sorted.map(({ message }) => message).join();
  const summary = make("summary", { part: sorted[0].severity }, make("strong", {}, SEVERITIES.filter(
    (severity) => of(severity)[0]).map((severity) => `${say(severity)}: ${of(severity).length}`).join(" · ")));
  const details = make("details", { part: "cautions", open: !folded[texts], toggle: () => {
    folded[texts] = !details.open;
  } }, summary, make("ul", {}, sorted.map(({ severity, message }) => make(
    "li", { part: `caution ${severity}` }, make("strong", {}, `${say(severity)}: `), message))),
  button("", say("read"), () => {
    details.open = false;
    summary.focus();
  }));
  return details;
}

/** As much as the scale shows; of a solution, what is taken of it; of several mixes, each. */
function weighed({ take, each_mix: mix, weigh, step, unit }, { say, write }) {
  const digits = Math.max(0, Math.ceil(-Math.log10(step)));
  const mass = `${write(take ?? mix ?? weigh, digits, digits)} ${unit}`;
  return take !== undefined ? say("take", { weigh: mass }) : mix !== undefined ? say("each_mix", { weigh: mass }) : mass;
}

/** The picture as an image, never parsed here: what is in the SVG can neither run nor load anything. */
const pictureOf = ({ picture, portions = [] }, { say, write }) => [
  make("img", { part: "picture", alt: say("picture"),
    src: `${URL.createObjectURL(new Blob([picture], { type: "image/svg+xml" }))}#face` }),
  make("ol", {}, portions.map(({ name, layer, colour }) => make(
    "li", {}, styled(make("i"), "background-color", colour), layer ? say("layer", {
      name, bottom: write(layer.bottom), top: write(layer.top) }) : name)).reverse())];

/** What no single row says of a vessel. */
function factsOf(kind, { lye, cuts }, { say, write }) {
  const range = ({ min, max }, most) => ({ min: write(min, most), max: write(max, most) });
  const heat = lye?.solution?.peak_temperature, superfat = lye?.superfat, bars = cuts?.bars;
  return ({
    jug: [heat && say("lye", { strength: write(lye.solution.concentration_pct, 1), ...range(heat, 0) })],
    pot: [superfat?.likely_pct && say("superfat_likely", {
      asked: write(superfat.asked_pct ?? superfat.achieved_pct, 1), ...range(superfat.likely_pct, 1) })],
    mould: [bars && say("bars", bars),
      bars?.mass && say("bar_mass", range(bars.mass))],
  }[kind] ?? []).map((text) => text && make("p", {}, text));
}

/** What is shown of a batch. `texts` in the reply are those of all cautions, `picture` is the SVG or null. */
export function weighing(reply, kit) {
  const { say, write } = kit;
  const stations = stationsOf(reply.weigh_list);
  const nameOf = ({ kind, of, rows }) => [say(kind), kind === "jar" ? rows[0].name
    : reply.portions?.find(({ key }) => key === of)?.name ?? of].filter(Boolean).join(": ");
  const kindOf = ({ place }) => VESSEL_OF_PLACE[place] ?? "later";
  const homeOf = (caution) => stations.find(({ kind }) => kind === kindOf(caution)) ?? stations.at(-2);
  const standing = reply.texts.filter(({ key }) => reply.standing_cautions.includes(key));
  const urgent = reply.cautions.filter(({ severity }) => severity === "danger");
  const others = [...reply.cautions.filter((one) => !urgent.includes(one)), ...standing];
  const sheet = reply.links?.self;
  return [
    make("h2", { part: "heading", tabindex: "-1" }, say("result")),
    stations.map((station) => {
      const { kind, rows } = station;
      const here = (cautions) => cautionsOf(cautions.filter((one) => homeOf(one) === station), kit);
      const size = reply.vessels?.[kind];
      const name = nameOf(station);
      return make("div", { class: "station" },
        make("h3", {}, size ? say("holds", { name, size: `${write(size)} ${kit.units().volume}` }) : name),
        kind === "jug" && make("p", {}, say("jug_says")), here(urgent),
        make("div", { class: "beside" },
          kind !== "later" && make("div", { class: "vessel" },
            make("ul", { part: "weigh-list" }, rows.map((row) => make("li", {}, make(
              "label", {}, make("input", { type: "checkbox" }), make("span", {}, row.name, row.form && `, ${row.form}`),
              make("b", {}, weighed(row, kit)))))),
            factsOf(kind, reply, kit), kind === "mould" && pictureOf(reply, kit)),
          here(others)));
    }),
    make("p", {}, reply.identity && say("identity", reply)),
    make("div", { class: "bar" }, button("", say("back"), kit.back), button("", say("print"), () => print()),
      // into the service and nowhere else
      /^\/\w/.test(sheet) && make("a", { part: "button", href: kit.base() + sheet, target: "_blank" },
                                  say("sheet"))),
  ].flat().filter(Boolean);
}
