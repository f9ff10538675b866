// <kettlewright-batch service="https://maths.example">: plan a batch of cold-process soap step by step, in the order
// you do the steps (pot, jug, buckets, mould), and see what to weigh. No framework. kettlewright.min.js is this module
// and those in element/ in one file (make element); kettlewright.de.js, loaded by pages in German, lies beside it.
//
// Every figure and every sentence about it comes from the service. If the cautions cannot be loaded, no figures are
// shown. It stores nothing, sets no cookie, and needs no inline script or style:
//   default-src 'none'; script-src 'self'; style-src 'self'; img-src blob:; connect-src <service>
// The service must allow the page's origin (KETTLEWRIGHT_CORS_ORIGINS).
//
// Attributes: service (default: the page's own origin); by="mass" (you enter masses of fats; otherwise shares, and the
//   mould gives the size); locale (default: the lang of the page; words in English and German, numbers as the language
//   writes them); data-units, JSON; data-strings, words of your own (see element/words.js), JSON.
// Property: extra, an object merged under the request (cut, residue, dates).
// Slots: before, after. Other content is shown only without JavaScript, for example a plain form.
// Event: batch-planned; its detail is the reply.
// Style, set on the element: --kw-ink, --kw-paper, --kw-line, --kw-accent, --kw-on-accent, --kw-danger, --kw-warning,
//   --kw-info, --kw-font, --kw-width; ::part(step | heading | field | label | input | button | next | error | trouble |
//   list | cautions | caution | danger | warning | info | weigh-list | picture). Colours follow the page's color-scheme.
//   Nothing is animated.
import { LOOK } from "./element/look.js";
import { planner } from "./element/planner.js";

const sheet = new CSSStyleSheet();
sheet.replaceSync(LOOK);

class KettlewrightBatch extends HTMLElement {
  static observedAttributes = ["service", "by", "locale", "data-units", "data-strings"];

  #planner = planner(this, this.attachShadow({ mode: "open" }));

  extra = this.extra; // it may have been set before this module was loaded

  connectedCallback() {
    this.shadowRoot.adoptedStyleSheets = [sheet];
    this.#planner();
  }

  attributeChangedCallback(name) {
    if (this.isConnected) this.#planner(/by|service/.test(name));
  }
}

customElements.define("kettlewright-batch", KettlewrightBatch);
