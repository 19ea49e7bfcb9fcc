// What the phone knows of the yard: fetched where there is network, else as it was last heard.

import { get, put } from "./store.js";
import { speak } from "./words.js";

export const yard = { bundle: null, heard: null, known: true };

function take(held) {
  yard.bundle = held.bundle;
  yard.heard = held.heard;
  speak(held.bundle.words);
  document.documentElement.lang = held.bundle.language;
}

/** What was kept; nothing where this phone has never heard the yard. */
export async function remember() {
  const held = await get("kept", "bundle");
  if (held) take(held);
}

/** Ask the yard; true where it answered. A phone that the yard does not know is told so. */
export async function ask(language = yard.bundle?.language) {
  const held = await get("kept", "bundle");
  const same = held && held.bundle.language === language;
  try {
    const answer = await fetch(`/phone/bundle${language ? `?language=${encodeURIComponent(language)}` : ""}`, {
      headers: same ? { "if-none-match": held.etag } : {},
      cache: "no-store",
    });
    yard.known = answer.status !== 401;
    if (answer.status === 304) await keep({ ...held, heard: Date.now() });
    else if (answer.ok) {
      await keep({ bundle: await answer.json(), etag: answer.headers.get("etag"), heard: Date.now() });
    }
    return answer.ok || answer.status === 304;
  } catch {
    return false;
  }
}

async function keep(held) {
  await put("kept", "bundle", held);
  take(held);
}

export const sheetOf = (truck) => yard.bundle.sheets.find((one) => one.truck === truck);
export const personOf = (key) => yard.bundle.people.find((one) => one.who.person === key);

/** The number to call: that of the shift that was on when the yard was last heard, while it lasts; else the yard's. */
export function telephone(now) {
  const { shift_telephone: own, telephone: always } = yard.bundle;
  return own && now < own.until ? own.number : always;
}

/** Trucks that stand in for one: like it, checked, with the key on its hook. */
export function insteadOf(sheet) {
  return yard.bundle.sheets.filter(
    (one) => one.truck !== sheet.truck && sheet.like && one.like === sheet.like && one.state === "checked" && one.free,
  );
}

/** Why somebody may not drive this kind of truck; null where he may. */
export function notYou(person, kind, now) {
  const until = person.drives[kind];
  if (until === undefined) return person.not_you[kind] ?? "";
  return until !== null && now >= until ? "" : null;
}
