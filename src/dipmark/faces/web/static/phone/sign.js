// Ids, times, digests, and the signature of a sheet: made on the phone, checked in the yard.

const bytes = (text) => new TextEncoder().encode(text);
export const hex = (data) => Array.from(new Uint8Array(data), (one) => one.toString(16).padStart(2, "0")).join("");
export const digest = async (data) => hex(await crypto.subtle.digest("SHA-256", data));
export const badgeDigest = (code) => digest(bytes(code.toUpperCase().replace(/[^\p{L}\p{N}]/gu, "")));

/** A UUID of version 7: ids sort by the time they were made. */
export function newId(now = Date.now()) {
  const data = crypto.getRandomValues(new Uint8Array(16));
  for (let at = 5, rest = now; at >= 0; at -= 1, rest = Math.floor(rest / 256)) data[at] = rest % 256;
  data[6] = (data[6] & 0x0f) | 0x70;
  data[8] = (data[8] & 0x3f) | 0x80;
  return hex(data).replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

/** An instant as the phone's clock shows it, with its offset. */
export function iso(ms = Date.now()) {
  const ahead = -new Date(ms).getTimezoneOffset();
  const two = (number) => String(Math.floor(Math.abs(number))).padStart(2, "0");
  const local = new Date(ms + ahead * 60000).toISOString().slice(0, 23);
  return `${local}${ahead < 0 ? "-" : "+"}${two(ahead / 60)}:${two(ahead % 60)}`;
}

/** The key that a PIN makes for a person; null where the first eight bits say that it is another PIN. */
export async function keyOf(who, pin) {
  const salt = Uint8Array.from(who.salt.match(/../g), (pair) => Number.parseInt(pair, 16));
  const typed = await crypto.subtle.importKey("raw", bytes(pin), "PBKDF2", false, ["deriveBits"]);
  const how = { name: "PBKDF2", hash: "SHA-256", salt, iterations: who.iterations };
  const raw = await crypto.subtle.deriveBits(how, typed, 256);
  if (!(await digest(raw)).startsWith(who.check)) return null;
  return crypto.subtle.importKey("raw", raw, { name: "HMAC", hash: "SHA-256" }, false, ["sign"]);
}

export const proofOf = async (key, text) => hex(await crypto.subtle.sign("HMAC", key, bytes(text)));
