// The queue: every finished sheet is sent, and sent again, until the yard has acknowledged it. Its ids make it count
// once.

import { base64 } from "./photo.js";
import { iso } from "./sign.js";
import { all, put, remove } from "./store.js";

const FIRST = 1000, LONGEST = 60000, PATIENCE = 20000, SHOWN = 20;
let busy = false, more = false, again, wait = FIRST, told = () => {};

export function onSent(listener) {
  told = listener;
}

/** What is still to be sent, and what was lately, the newest first. */
export async function queue() {
  return (await all("queue")).sort((one, other) => (one.id < other.id ? 1 : -1));
}

async function send(entry) {
  const pictures = entry.pictures.map((one) => ({ media: "image/jpeg", data: base64(one.data) }));
  const body = JSON.stringify({ person: entry.person, proof: entry.proof, sent: iso(), sheet: entry.sheet, pictures });
  const answer = await fetch("/phone/sheets", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body,
    signal: AbortSignal.timeout(PATIENCE),
  });
  if (answer.ok) {
    const { facts, skew } = await answer.json();
    const aside = facts.some((one) => one.fate === "set-aside");
    return { ...entry, pictures: [], state: aside ? "set-aside" : "taken", facts, skew };
  }
  if (answer.status === 400 || answer.status === 413 || answer.status === 422) {
    return { ...entry, state: "refused", message: (await answer.json()).error.message };
  }
  throw new Error(`answered ${answer.status}`);
}

/** Send all that waits; where the yard is not heard, again after a while, each time twice as long. */
export async function sendAll() {
  if (busy) {
    more = true;
    return;
  }
  busy = true;
  clearTimeout(again);
  let sent = false;
  try {
    for (const entry of (await queue()).filter((one) => one.state === "waiting").reverse()) {
      await put("queue", entry.id, await send(entry));
      sent = true;
    }
    wait = FIRST;
    const done = (await queue()).filter((one) => one.state === "taken");
    for (const old of done.slice(SHOWN)) await remove("queue", old.id);
  } catch {
    again = setTimeout(sendAll, wait);
    wait = Math.min(wait * 2, LONGEST);
  }
  busy = false;
  await told(sent);
  if (more) {
    more = false;
    await sendAll();
  }
}

addEventListener("online", () => {
  wait = FIRST;
  sendAll();
});
