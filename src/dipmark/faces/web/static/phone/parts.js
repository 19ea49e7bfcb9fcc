// Parts that several screens share.

import { button, el, shape } from "./dom.js";
import { small } from "./photo.js";
import { w } from "./words.js";

/** The head of a sheet: the truck, how far one has come, one step back. */
export function head(draft, all, onward, leave) {
  const left = all.length - 1, done = Math.min(draft.at, left);
  return el("div", { class: "top" },
    draft.at > 0 ? button(w("Back"), () => onward(-1), { class: "back" }) : null,
    el("strong", {}, w("Truck {}", draft.sheet.truck)),
    done < left && el("span", { class: "note" }, w("{} of {}", done + 1, left)),
    el("progress", { max: left, value: done, "aria-label": w("How far this sheet has come") }));
}

/** The head of any other screen: the way back, and what one is at. */
export const top = (back, ...more) => el("div", { class: "top" }, button(w("Back"), back, { class: "back" }), more);

export const truckName = (sheet) => el("strong", {}, w("Truck {}", sheet.truck));

export const note = (...text) => el("p", { class: "note" }, text);

/** Something to be read before anything else; what stops is marked so. */
export const notice = (what, text, stops = false) =>
  el("p", { class: stops ? "notice stop" : "notice" }, el("strong", {}, what), " ", text);

const NO_PERMIT = () => w("No permit for this kind of truck is known here. Ask the lead hand.");

/** Why somebody may not drive it, where he may not; an empty reason is that nothing is known. */
export const notYouNotice = (reason) => (reason === null ? null : notice(w("Not you."), reason || NO_PERMIT(), true));

/** What has become of a sheet that was finished. */
export function fateOf(state) {
  return {
    waiting: w("waiting to be sent"),
    taken: w("taken by the yard"),
    "set-aside": w("set aside: show it to the lead hand"),
    refused: w("not taken: show it to the lead hand"),
  }[state];
}

export function caution(text) {
  return el("p", { class: "caution" }, el("strong", {}, w("Caution")), " ", text);
}

/** What may be found, one to be chosen. */
export function symptomList(check, answer, changed) {
  return el("fieldset", { class: "stack" }, el("legend", {}, w("What was seen?")), check.symptoms.map((one) =>
    el("label", { class: "choice" },
      el("input", {
        type: "radio", name: "symptom", value: one.id, checked: answer.symptom === one.id,
        onchange: () => {
          answer.symptom = one.id;
          changed();
        },
      }),
      el("span", {}, one.text))));
}

/** A photo may be taken; it is made small at once. The same one twice is not taken. */
export function photo(taken) {
  const said = el("p", { class: "note", role: "status" });
  const input = el("input", {
    type: "file", accept: "image/*", capture: "environment", class: "away",
    onchange: async () => {
      const [file] = input.files;
      input.value = "";
      if (!file) return;
      try {
        const made = await small(file);
        if (made.known) said.replaceChildren(w("This photo was used before. Take a new one."));
        else {
          taken({ name: made.name, data: made.data });
          said.replaceChildren(w("Photo kept."));
        }
      } catch {
        said.replaceChildren(w("That is no photo this phone can read."));
      }
    },
  });
  return el("div", { class: "photo" }, el("label", { class: "button" }, input, w("Take a photo")), said);
}

const STATES = {
  checked: "M7 12l4 4 7-9M3 3h18v18H3z",
  restricted: "M3 3h12l6 6v12H3zM12 9v5M12 17v1",
  "not-checked": "M3 3h18v18H3z",
  "out-of-service": "M3 3h18v18H3zM7 12h10",
};

/** The shape that goes with a state: a key, a cut corner, a blank key, a card. */
export const stateShape = (code) => shape(STATES[code], 24, `shape ${code}`);

export const clock = (ms) => new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });

const DAY = { weekday: "short", day: "numeric", month: "short" };
const day = (ms) => new Date(ms).toLocaleDateString(document.documentElement.lang, DAY);

/** A day with its weekday and a time, in the language of the screens. */
export const moment = (ms) => `${day(ms)} ${clock(ms)}`;

/** How serious an open fault is, with its last day where it has one. */
export const serious = (fault) => (fault.due == null ? fault.words : `${fault.words} ${day(fault.due - 1)}`);
