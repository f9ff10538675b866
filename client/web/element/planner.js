// The way from step to step, and to the answer. Holds what was typed, as text.
import { button, make } from "./make.js";
import { hasComma, languageOf, readNumber, written } from "./numbers.js";
import { offerFats, question } from "./questions.js";
import { ask, readLists } from "./service.js";
import { FATS, PALETTE, PORTIONS, START, isNumber, requestOf, stepsOf } from "./steps.js";
import { weighing } from "./weighing.js";
import { en } from "./words.js";

const within = (pointer, place) => `${pointer}/`.startsWith(`${place}/`);

/** Makes the element `host` work in its shadow `root`. Returns what starts it. */
export function planner(host, root) {
  const section = make("section");
  const live = make("p", { role: "status" }); // outlives the steps, so that screen readers announce it
  const stage = make("div", { part: "step" });
  const values = { ...START };
  const lists = { [FATS]: [{}], [PORTIONS]: [] };
  const folded = {};
  let words = en, errors = {}, trouble = null, now = 0, fats = [], asked, answer, busy;
  section.append(make("slot", { name: "before" }), stage, live, make("slot", { name: "after" }));
  root.append(section);

  const found = (selector) => section.querySelector(selector);
  const json = (attribute) => JSON.parse(host.getAttribute(attribute) || "{}");
  const language = () => languageOf(host.getAttribute("locale") || host.closest("[lang]")?.lang || "en");
  const locale = () => (words === en ? "en" : "de");
  const units = () => ({ mass: "g", length: "mm", volume: "mL", temperature: "degC", ...json("data-units") });
  const base = () => (host.getAttribute("service") ?? "").replace(/\/+$/, "");
  const steps = () => stepsOf(values, lists, host.getAttribute("by") === "mass" ? "mass" : "share_pct");

  const read = (text) => readNumber(text, hasComma(language()));
  const write = (value, most, least) => written(value, language(), most, least);
  const say = (key, given) => {
    const known = { ...units(), ...given };
    const text = { ...words, ...json("data-strings") }[key] ?? key;
    return text.replace(/\{(\w+)\}/g, (all, name) => known[name]?.toString().replace(/^deg/, "°") ?? all);
  };

  /** What steps and the answer are made with. */
  const kit = {
    say, read, write, folded, units, base, errorOf: (at) => errors[at], mend: (at) => delete errors[at],
    trouble: () => trouble && (trouble.detail ?? say(trouble.word, trouble)),
    // in another language by the first name that the table has in it
    fats: () => fats.map(({ key, name, aliases = [] }) => [
      key, words !== en && aliases.find((alias) => alias.language === locale())?.name || name]).sort(
      ([, a], [, b]) => a.localeCompare(b)),
    reading: (text) => (/[.,]/.test(text) && hasComma(language()) && read(text) !== undefined
      ? say("reading", { value: write(read(text), 9) }) : ""),
    next: (event) => {
      event.preventDefault();
      once(() => (!check(now) ? go(now) : steps()[now + 1] ? go(now + 1) : finish()));
    },
    back: () => go(now - 1),
    show,
    add(at) {
      const rows = lists[at];
      rows.push(at === FATS ? {} : { colour: PALETTE.find((colour) => !rows.some((row) => row.colour === colour))
        ?? PALETTE[rows.length % 6] });
      show("li:last-child .input");
    },
    remove(at, i) {
      lists[at].splice(i, 1);
      if (!lists[FATS][0]) lists[FATS] = [{}];
      errors = {}; // rows have moved
      show(".add");
    },
  };

  function show(focused) {
    const all = steps();
    const src = found("img")?.src;
    if (src) URL.revokeObjectURL(src.split("#")[0]);
    section.lang = locale();
    live.textContent = "";
    stage.replaceChildren(make("nav", { "aria-label": say("title") }, make("ol", {}, [...all, { key: "weigh" }].map(
      ({ key }, i) => make("li", {}, button("", say(key), () => (all[i] ? go(i) : once(finish)), {
        "aria-current": i === now && "step" }))))),
    ...(all[now] ? question(all[now], kit, now, all.length) : weighing(answer, kit)));
    if (focused) found(focused).focus();
  }

  function go(step) {
    now = step;
    show();
    (found("[aria-invalid]") ?? found(".error[role]") ?? found(".trouble") ?? found("h2")).focus();
  }

  /** Get the table of fats, once. */
  async function load() {
    if (fats[0]) return;
    const before = trouble;
    trouble = null;
    await (asked ??= readLists(base(), "/v1/fats", null, "fats")).then((found) => {
      ({ fats } = found);
    }, (thrown) => {
      asked = null;
      trouble = thrown;
    });
    if (trouble || before) show();
    else offerFats(section, kit);
  }

  /** One task at a time: a second press does nothing until the first is done. */
  async function once(task) {
    if (busy) return;
    busy = true;
    await load();
    await task();
    busy = false;
  }

  /** Whether a step can be sent; each wrong field gets its error. */
  function check(number) {
    const { list, all } = steps()[number];
    if (fats[0]) trouble = null;
    let sum, wrong;
    for (const { key, at, store, kind } of all) {
      const text = (store[key] = (store[key] ?? "").trim());
      const value = read(text);
      const error = !text ? kind !== "optional" && "missing" : isNumber(kind) && value === undefined && "unreadable";
      delete errors[at];
      if (error) wrong = errors[at] = say(error, { example: write(12.5, 1) });
      if (key === "share_pct") sum = (sum ?? 0) + value;
    }
    const at = list?.at;
    delete errors[at];
    if (!wrong && Math.abs(100 - sum) > 0.01001) { // as closely as the service wants it
      wrong = errors[at] = say("not_100", { sum: write(sum, 4) });
    }
    return !wrong;
  }

  /** Plan the batch if all steps are filled in, or go to the first that is not. */
  async function finish() {
    const all = steps();
    const wrong = all.findIndex((_, step) => !check(step));
    if (wrong >= 0) return go(wrong);
    errors = {};
    live.textContent = say("asking");
    try {
      const body = requestOf(steps(), host.extra, units(), locale(), read);
      const picture = ask(base(), "/v1/batches?format=svg", body).then((reply) => reply.text()).catch(() => null);
      const [reply, { cautions }] = await Promise.all([
        readLists(base(), "/v1/batches", body, "weigh_list", "cautions", "standing_cautions"),
        readLists(base(), `/v1/cautions?locale=${encodeURIComponent(body.locale)}`, null, "cautions")]);
      answer = { ...reply, texts: cautions, picture: await picture };
      go(all.length);
      host.dispatchEvent(new CustomEvent("batch-planned", { detail: reply, bubbles: true, composed: true }));
    } catch (thrown) {
      now = Math.min(now, all.length - 1);
      place(thrown.word ? thrown : { word: "failed", status: "?" });
    }
  }

  /** Each error of the service is shown beside its field or list; one without a location here above the step. */
  function place(thrown) {
    const places = steps().flatMap(({ list, all }, step) => [list, ...all].map((one) => ({ at: one?.at, step })));
    let first = 9, homeless = "";
    for (const { pointer, detail } of thrown.errors ?? []) {
      const home = pointer && (places.find(({ at }) => at && within(at, pointer))
        ?? places.findLast(({ at }) => at && within(pointer, at)));
      if (home) {
        errors[home.at] = `${errors[home.at] ?? ""} ${detail}`.trim();
        first = Math.min(first, home.step);
      } else homeless += `${detail} `;
    }
    trouble = homeless ? { detail: homeless.trim() } : first > 8 ? thrown : null;
    go(first > 8 ? now : first);
  }

  /** Get words and fats; both come once. Until the words are here nothing is shown. */
  return async (anew) => {
    if (anew) {
      lists[FATS] = [{}];
      fats = [];
      asked = null;
    }
    const german = () => language().startsWith("de");
    const file = german() && await import("../kettlewright.de.js").catch(() => 0);
    words = german() && file.words || en; // the language may have changed meanwhile
    show();
    await load();
  };
}
