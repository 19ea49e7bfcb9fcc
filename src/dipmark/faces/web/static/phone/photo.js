// A photo: made small on the phone, which takes where it was taken out of it; the same one twice is not taken.

import { digest } from "./sign.js";
import { get, put } from "./store.js";

const LONGEST = 1280, QUALITY = 0.7;

/** The small picture with its digest; `known` where it was taken with an earlier fault. */
export async function small(file) {
  const whole = await createImageBitmap(file);
  const share = Math.min(1, LONGEST / Math.max(whole.width, whole.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(whole.width * share));
  canvas.height = Math.max(1, Math.round(whole.height * share));
  canvas.getContext("2d").drawImage(whole, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
  const data = new Uint8Array(await blob.arrayBuffer());
  const name = await digest(data);
  const known = (await get("photos", name)) !== undefined;
  if (!known) await put("photos", name, Date.now());
  return { name, data, known };
}

export function base64(data) {
  let text = "";
  for (let at = 0; at < data.length; at += 8192) text += String.fromCharCode(...data.subarray(at, at + 8192));
  return btoa(text);
}
