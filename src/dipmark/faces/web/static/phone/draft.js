// A sheet that is begun: what it asks today, what was answered, and the facts it becomes. Saved at every tap.

import { iso, newId, proofOf } from "./sign.js";
import { all, put, remove, seal } from "./store.js";
import { checksOf, verdict } from "./verdict.js";

const HOURS = "hour-meter", VALUES = 2, DAY = 86400000;

/** Who has signed in for this sheet; only in memory, so that after a break the PIN is asked again. */
export const hand = { person: null, key: null };

export function begin(sheet, list, kind, person) {
  return {
    id: newId(), sheet, list, kind, person, begun: Date.now(), at: 0, answers: {}, values: {}, faults: {}, hours: null,
    letter: null, pictures: [],
  };
}

export const save = (draft) => put("drafts", draft.id, draft);
export const discard = (draft) => remove("drafts", draft.id);

/** Sheets that are begun, the latest first; of one truck where it is named. */
export async function begun(truck) {
  const drafts = (await all("drafts")).filter((one) => !truck || one.sheet.truck === truck);
  return drafts.sort((one, other) => other.begun - one.begun);
}

const isHours = (check) => check.asked?.quantity === HOURS;

/** The places of a sheet with what is asked there; the hour meter has a screen of its own. */
export function placesOf(draft) {
  return draft.list.places
    .map((place) => ({
      ...place,
      checks: place.checks.filter((check) => check.lists.includes(draft.kind) && !isHours(check)),
    }))
    .filter((place) => place.checks.length);
}

/** The screens of a sheet in their order. */
export function stepsOf(draft) {
  const places = placesOf(draft).map((place) => ({ what: "place", place }));
  const first = [];
  if (draft.sheet.faults.length && draft.kind !== "after-shift") first.push({ what: "faults" });
  if (hoursOf(draft)) first.push({ what: "meter" });
  return [...first, ...places, { what: "verdict" }];
}

/** The check of this sheet that the hour meter answers; at a take-over none does, and it is read all the same. */
export function hoursOf(draft) {
  return checksOf(draft.list, draft.kind).find(isHours) ?? (draft.kind === "take-over" ? { symptoms: [] } : null);
}

function turn(draft) {
  const local = draft.begun - new Date(draft.begun).getTimezoneOffset() * 60000;
  return draft.sheet.turn + Math.floor(local / DAY);
}

/** The ids of the checks whose value is asked today. */
export function valuesAsked(draft) {
  const asked = checksOf(draft.list, draft.kind).filter((check) => check.asked && !isHours(check));
  const turns = asked.length ? Array.from({ length: VALUES }, (_, at) => (turn(draft) + at) % asked.length) : [];
  return new Set(turns.map((at) => asked[at].id));
}

/** The place whose letter is asked today. */
export function letterAsked(draft) {
  if (draft.kind !== "shift") return null;
  const places = draft.list.places.filter((place) => place.checks.some((check) => check.lists.includes("shift")));
  return places[turn(draft) % places.length].id;
}

/** One answer as it is sent: it carries its seriousness with it. */
function answerOf(check, given, value) {
  const answer = value == null || given.mark === "unseen" ? given : { ...given, value, unit: check.asked.unit };
  if (answer.mark !== "fault") return { check: check.id, ...answer };
  const named = check.symptoms.find((one) => one.id === answer.symptom) ?? check.symptoms[check.worst];
  const { seriousness, safety, days } = named;
  return { check: check.id, ...answer, seriousness, affects_safety: safety, ...(days == null ? {} : { days }) };
}

/** The walk-round as it stands, as a fact's body. */
export function walkOf(draft, now) {
  const { sheet, kind, hours, letter } = draft;
  const answers = [];
  for (const check of checksOf(draft.list, kind)) {
    const read = isHours(check) && hours ? { mark: "ok", value: hours, unit: "h" } : null;
    const answer = draft.answers[check.id] ?? read;
    if (answer) answers.push(answerOf(check, answer, draft.values[check.id]));
  }
  const open_faults = Object.entries(draft.faults).map(([fault, fate]) => ({ fault, now: fate }));
  const body = { kind: "walk-round", answers, rules: sheet.rules, sheet: kind, open_faults };
  body.seconds = Math.min(Math.round((now - draft.begun) / 1000), 86400);
  if (hours) body.meter = { hours, meter: sheet.meter.name };
  if (letter) body.letter = letter;
  return body;
}

/** What the sheet says now. */
export const verdictOf = (draft, now) => verdict(draft.sheet, draft.list, walkOf(draft, now), now);

/** Sign facts about a truck and put them where they are sent from; a draft goes in the same moment. */
export async function finish(sheet, facts, { pictures = [], says = "", refs = [], draft = null } = {}) {
  const text = JSON.stringify({ made_from: sheet.digest, seq: sheet.seq, facts });
  const entry = {
    id: facts[0].id, truck: sheet.truck, state: "waiting", made: Date.now(), person: hand.person.who.person,
    proof: await proofOf(hand.key, text), sheet: text, pictures, says, refs, seq: sheet.seq,
  };
  await seal(entry, draft);
  return entry;
}

export const fact = (sheet, body, now, id = newId(now)) => ({ id, book: sheet.book, happened: iso(now), body });

/** Finish a walk-round: its verdict is written into it. */
export async function finishWalk(draft, says) {
  const now = Date.now(), body = walkOf(draft, now);
  const said = verdictOf(draft, now);
  const used = new Set(body.answers.map((one) => one.picture));
  const found = body.answers.filter((one) => one.mark === "fault" && !one.put_right);
  const refs = found.map((one) => `${draft.id}#${one.check}`);
  const pictures = draft.pictures.filter((one) => used.has(one.name));
  const facts = [fact(draft.sheet, { ...body, verdict: said.code }, now, draft.id)];
  await finish(draft.sheet, facts, { pictures, says: says(said), refs, draft: draft.id });
  return said;
}
