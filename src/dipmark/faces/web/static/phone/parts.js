// Parts that several screens share.

import { button, el } from "./dom.js";
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

/** The shape that goes with a state: a blank key, a cut corner, a card, a key. */
export function stateShape(code) {
  const shapes = {
    checked: "M7 12l4 4 7-9M3 3h18v18H3z",
    restricted: "M3 3h12l6 6v12H3zM12 9v5M12 17v1",
    "not-checked": "M3 3h18v18H3z",
    "out-of-service": "M3 3h18v18H3zM7 12h10",
  };
  const space = "http://www.w3.org/2000/svg", svg = document.createElementNS(space, "svg");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("class", `shape ${code}`);
  svg.setAttribute("aria-hidden", "true");
  const path = document.createElementNS(space, "path");
  path.setAttribute("d", shapes[code]);
  svg.append(path);
  return svg;
}

export const clock = (ms) => new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });

const day = (ms) => new Date(ms).toLocaleDateString(document.documentElement.lang, { weekday: "short", day: "numeric", month: "short" });

/** A day with its weekday and a time, in the language of the screens. */
export const moment = (ms) => `${day(ms)} ${clock(ms)}`;

/** How serious an open fault is, with its last day where it has one. */
export const serious = (fault) => (fault.due == null ? fault.words : `${fault.words} ${day(fault.due - 1)}`);
