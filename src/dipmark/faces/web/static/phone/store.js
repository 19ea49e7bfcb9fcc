// What the phone keeps: the yard's bundle, sheets begun, sheets to be sent, digests of photos. It survives a dead
// battery.

const NAME = "dipmark", STORES = ["kept", "drafts", "queue", "photos"];
let opened;

function database() {
  opened ??= new Promise((done, failed) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => STORES.forEach((name) => request.result.createObjectStore(name));
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
  return opened;
}

/** One transaction, on the disk before it is done. */
async function within(names, work) {
  const transaction = (await database()).transaction(names, "readwrite", { durability: "strict" });
  const result = work(...names.map((name) => transaction.objectStore(name)));
  return new Promise((done, failed) => {
    transaction.oncomplete = () => done(result.result);
    transaction.onabort = transaction.onerror = () => failed(transaction.error);
  });
}

export const get = (name, key) => within([name], (store) => store.get(key));
export const all = (name) => within([name], (store) => store.getAll());
export const put = (name, key, value) => within([name], (store) => store.put(value, key));
export const remove = (name, key) => within([name], (store) => store.delete(key));

/** A sheet is finished: it is to be sent and no longer begun, both or neither. */
export function seal(entry, draft) {
  return within(["queue", "drafts"], (queue, drafts) => {
    if (draft) drafts.delete(draft);
    return queue.put(entry, entry.id);
  });
}
