// The phone's start: what was kept is shown at once, with network or without; then the yard is asked.

import { hangs, hit } from "./around.js";
import { begin, hand, save } from "./draft.js";
import { show } from "./dom.js";
import { theEnd, wrong } from "./end.js";
import { home, pin, sent, truck, who } from "./screens.js";
import { onSent, sendAll } from "./send.js";
import { badgeDigest } from "./sign.js";
import { step } from "./steps.js";
import { get, put } from "./store.js";
import { ask, personOf, remember, yard } from "./yard.js";

const MINUTES = 5 * 60000;
const DEEDS = { wrong, hit, hangs };
let quiet = true;

const go = {
  home: () => here(() => home(go), true),
  truck: (name) => here(() => truck(name, go)),
  sent: () => here(() => sent(go)),
  begin: (sheet, kind) => here(() => who(sheet, async () => {
    if (DEEDS[kind]) return DEEDS[kind](sheet, go);
    const draft = begin(sheet, yard.bundle.lists[sheet.list], kind, hand.person.who.person);
    await save(draft);
    return step(draft, leave);
  }, go)),
  resume: (draft) => here(() => {
    const person = personOf(draft.person);
    if (person) return pin(person, draft.sheet, () => step(draft, leave), go);
    return who(draft.sheet, (other) => step({ ...draft, person: other.who.person }, leave), go);
  }),
};

const leave = (draft) => theEnd(draft, go);

/** Show a screen; the phone's own way back leads to the trucks, and a sheet begun is kept. */
function here(screen, start = false) {
  quiet = start;
  if (!start && !history.state) history.pushState({ in: true }, "");
  return screen();
}

addEventListener("popstate", () => go.home());

async function fresh() {
  const heard = await ask();
  if (heard) sendAll();
  return again();
}

/** What is on the screen of trucks is shown as it is known now; nobody is disturbed at anything else. */
async function again() {
  const still = () => quiet && yard.bundle && !document.activeElement?.matches("input, select");
  const from = document.querySelector(".trucks") ? scrollY : 0;
  if (still()) await home(go, still);
  if (still()) scrollTo({ top: from, behavior: "instant" });
}

onSent(async (any) => {
  document.querySelectorAll(".sending").forEach((one) => one.dispatchEvent(new Event("told")));
  if (any && (await ask())) await again();
});

/** What the page says where it cannot begin, in the words that the server has put there. */
function cannot(why) {
  show(document.getElementById(why).content.cloneNode(true));
}

/** Somebody's badge was read by the phone's own camera: he stands first among those who may begin. */
async function badge(code) {
  const meant = await badgeDigest(code);
  const found = yard.bundle.people.find((one) => one.who.badge === meant);
  const before = (await get("kept", "lately")) ?? [];
  if (found) await put("kept", "lately", [...new Set([found.who.person, ...before])]);
}

async function start() {
  if (!isSecureContext || !navigator.serviceWorker) return cannot("plain");
  navigator.serviceWorker.register("/phone/sw.js", { scope: "/phone" });
  navigator.storage?.persist?.();
  await remember();
  if (!yard.bundle) await ask();
  if (!yard.bundle) return cannot(yard.known ? "nothing" : "unknown");
  const [, what, value] = /^#(truck|badge)=(.+)$/.exec(location.hash) ?? [];
  if (what === "badge") await badge(decodeURIComponent(value));
  if (what === "truck") await go.truck(decodeURIComponent(value));
  else await go.home();
  setInterval(fresh, MINUTES);
  sendAll();
  return fresh();
}

start();
