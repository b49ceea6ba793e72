// The plan that was kept last, once more, where a killed browser has it too: browsers hand
// localStorage to the disk some seconds late, IndexedDB at once.
//
// journal(text) notes it ("" to forget it); lastNoted() promises the text, "" where there is none
// or the browser refuses.

let base = null;
const noted = () => base ??= new Promise((done, fail) => {
  const asked = indexedDB.open("battenbook", 1);
  asked.onupgradeneeded = () => asked.result.createObjectStore("last");
  asked.onsuccess = () => done(asked.result);
  asked.onerror = () => fail(asked.error);
}).catch(() => null);

const journal = (text) => noted().then((base) => {
  base?.transaction("last", "readwrite", { durability: "strict" }).objectStore("last").put(text, 0);
}).catch(() => {});

const lastNoted = () => noted().then((base) => base && new Promise((done) => {
  const asked = base.transaction("last").objectStore("last").get(0);
  asked.onsuccess = () => done(asked.result);
  asked.onerror = () => done("");
})).then((text) => text ?? "", () => "");

