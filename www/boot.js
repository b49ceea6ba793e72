// Starts the page: unpacks the wasm that lies in this document and hands over to it.
//
// `cargo xtask build` puts this text behind wasm-bindgen's script, which makes `wasm_bindgen`, in
// one inline script. A worker runs the same text, and from a file on disk browsers run no module
// in a worker: so nothing here or there may be a module's own (import, export, top-level await).
// The wasm lies in #battenbook-wasm (gzip, seven bits to a sign), a saved plan in
// #battenbook-plan (JSON, empty in the file as built).
//
// What the page may use, as globalThis.battenbook:
//   exports     for people who script: plan(brief), version()
//   plan        text of the plan that was saved into this file, "" if none
//   file(plan)  this whole document as built, with that plan's JSON inside, for "save as one file"
//   journal     notes the plan that was kept last, see journal.js
//   noted       what was noted before this page was opened
//   listen      the microphone for a while, see listen.js
//   module      the compiled wasm
//   memory      the wasm memory
//   hire()      a worker that runs this same script, started with that module; throws where the
//               browser allows none
//   answered()  to be called when the first answer stands on the page
// On <html>, data-battenbook says "starting", "ready" or "failed"; "ready", when the first answer
// stands, is also an event of the document, "battenbook:ready".
//
// A worker takes messages ["plan", number, draft, row], ["ask", to, number, ...words],
// ["search", number, turn] and ["enough"], and sends ["part", number, left, ...],
// ["answer", to, ...] or ["failed", why]. Of several plans that wait it reckons the last; it looks
// for newer ones after each part. It searches, bit by bit, when nothing else is to be done.

if (typeof document === "undefined") {
  const waiting = [];
  let left = [];
  let number = 0;
  let search = null;
  let working = false;
  // A message to ourselves comes after those that already wait; timers would be held back.
  const { port1, port2 } = new MessageChannel();
  const pause = () => new Promise((go) => {
    port2.onmessage = go;
    port1.postMessage(0);
  });
  const plan = (job) => {
    search = null;
    if (waiting.some(([kind]) => kind === "plan")) return;
    number = job[0];
    left = wasm_bindgen.work_plan(...job);
  };
  const searchOn = () => {
    const found = wasm_bindgen.work_search(...search);
    if (found.length === 0) return;
    number = search[0];
    left = found;
    search = null;
  };
  const work = async () => {
    if (working) return;
    working = true;
    try {
      while (waiting.length + left.length > 0 || search) {
        const [kind, ...words] = waiting.shift() ?? ["part"];
        if (kind === "plan") plan(words);
        else if (kind === "search") search = words;
        else if (kind === "enough") search = null;
        else if (kind === "ask") postMessage(["answer", words[0], ...wasm_bindgen.work_answer(words[1], words.slice(2))]);
        else if (left.length === 0) searchOn();
        // The first part follows its plan at once.
        if (kind !== "ask" && left.length > 0) {
          const part = wasm_bindgen.work_write(left.shift());
          postMessage(["part", number, left.length, ...part]);
        }
        await pause();
      }
    } catch (error) {
      postMessage(["failed", String(error)]);
    }
    working = false;
  };
  onmessage = async ({ data }) => {
    if (data instanceof WebAssembly.Module) {
      await wasm_bindgen({ module_or_path: data });
      working = false;
    } else {
      waiting.push(data);
    }
    work();
  };
  // Until the module is there.
  working = true;
} else {
  const root = document.documentElement;
  const block = (id) => document.getElementById(id);

  // Taken before anything changes the document, so that a saved file starts as clean as this one.
  const plan = block("battenbook-plan").textContent.trim();
  block("battenbook-plan").textContent = "";
  // The wasm is most of the document: copied only when a file is saved. It stays in its place, for
  // those who save the page by the browser's own command.
  const wasm = block("battenbook-wasm").textContent;
  block("battenbook-wasm").textContent = "";
  const source = "<!DOCTYPE html>\n" + root.outerHTML;
  block("battenbook-wasm").textContent = wasm;

  // Inside a script element "<" could end the element; JSON may write it as an escape.
  const fill = (text, start, within) => text.replace(start, () => start + within);
  const file = (plan) => {
    const escaped = plan.replaceAll("<", "\\u003c");
    const full = fill(source, '<script type="application/octet-stream" id="battenbook-wasm">', wasm);
    return fill(full, '<script type="application/json" id="battenbook-plan">', escaped);
  };

  // A file on disk may ask for nothing at all, not even for what lies beside a hosted page.
  const hosted = location.protocol.startsWith("http");
  if (!hosted) {
    const stricter = document.createElement("meta");
    stricter.httpEquiv = "Content-Security-Policy";
    stricter.content = "img-src data: blob:; worker-src blob:; manifest-src 'none'";
    document.head.append(stricter);
  }

  // Where it is hosted it can be installed, and opens without the network from then on. Only the
  // page itself and these few files are ever asked for. A host without them loses no more than that.
  const settle = () => {
    for (const [rel, href] of [["manifest", "manifest.webmanifest"], ["apple-touch-icon", "icon-180.png"]]) {
      document.head.append(Object.assign(document.createElement("link"), { rel, href }));
    }
    document.querySelector("link[rel=icon]").href = "icon.svg";
    const workers = navigator.serviceWorker;
    if (workers?.controller) {
      workers.addEventListener("controllerchange", () => { block("newer").hidden = false; });
    }
    workers?.register("sw.js").catch(() => {});
  };

  // A worker runs this very script: asked for at once, so that it is there when the module is.
  const own = document.querySelector("script[type=module]").textContent;
  const address = URL.createObjectURL(new Blob([own], { type: "text/javascript" }));
  const worker = () => new Worker(address);
  let first = null;
  let refused = false;
  try {
    first = worker();
    // Some browsers say only now, before anybody listens, that they allow none.
    first.onerror = () => (refused = true);
  } catch {
    refused = true;
  }
  const hire = () => {
    if (refused) throw new Error("this browser allows no worker");
    const hired = first ?? worker();
    // The first has the module already.
    if (!first) hired.postMessage(battenbook.module);
    first = null;
    return hired;
  };
  const answered = () => {
    if (root.dataset.battenbook === "ready") return;
    root.dataset.battenbook = "ready";
    performance.mark("battenbook:ready");
    document.dispatchEvent(new Event("battenbook:ready"));
    if (hosted) settle();
  };

  const exports = { plan: wasm_bindgen.plan, version: wasm_bindgen.version };
  const battenbook = (globalThis.battenbook = { exports, plan, file, hire, answered, journal, listen });
  root.dataset.battenbook = "starting";

  if (!CSS.supports("overflow-anchor", "auto")) anchor();

  // What a link or the focus leads to must not lie behind the short answer.
  const sight = document.querySelector(".sight");
  new ResizeObserver(() => root.style.setProperty("--sight", `${sight.offsetHeight}px`)).observe(sight);

  // Read while the wasm is unpacked; a browser that does not answer is not waited for.
  const late = new Promise((done) => setTimeout(() => done(""), 1000));
  const last = Promise.race([lastNoted(), late]);

  const bytes = (text) => {
    const packed = new Uint8Array(Math.floor((text.length * 7) / 8));
    let held = 0;
    let bits = 0;
    let at = 0;
    for (let i = 0; i < text.length; i += 1) {
      held = (held << 7) | (text.charCodeAt(i) & 127);
      bits += 7;
      if (bits >= 8) {
        bits -= 8;
        // Of what is held, the array takes the lowest eight bits.
        packed[at++] = held >> bits;
      }
    }
    return packed;
  };
  // Compiled while it is unpacked.
  const compile = () => {
    const stream = new Blob([bytes(wasm)]).stream().pipeThrough(new DecompressionStream("gzip"));
    const headers = { "Content-Type": "application/wasm" };
    return WebAssembly.compileStreaming(new Response(stream, { headers }));
  };

  const fail = (error) => {
    root.dataset.battenbook = "failed";
    const box = document.createElement("p");
    box.id = "battenbook-failure";
    box.setAttribute("role", "alert");
    box.textContent =
      `The calculator could not start in this browser (${error}). ` +
      "A newer browser will most likely open it. If this is a saved file, it may be damaged: open an earlier copy. " +
      "A plan in the link of this page stays in the link.";
    document.body.prepend(box);
    console.error(error);
  };

  const start = async () => {
    battenbook.module = await compile();
    first?.postMessage(battenbook.module);
    battenbook.noted = await last;
    const { memory } = await wasm_bindgen({ module_or_path: battenbook.module });
    battenbook.memory = memory;
  };
  start().catch(fail);
}
