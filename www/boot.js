// Starts the page: unpacks the wasm that lies in this document and hands over to it.
//
// `cargo xtask build` puts this text behind wasm-bindgen's module in one inline module script
// (browsers refuse a module from a file on disk, but run an inline one); `__wbg_init` is that
// module's entry. The wasm lies in #battenbook-wasm (gzip, base64), a saved plan in
// #battenbook-plan (JSON, empty in the file as built).
//
// What the page may use, as globalThis.battenbook:
//   exports     for people who script: plan(brief), version()
//   plan        text of the plan that was saved into this file, "" if none
//   file(plan)  this whole document as built, with that plan's JSON inside, for "save as one file"
//   module      the compiled wasm; post it to a worker made from a Blob instead of compiling again
//   memory      the wasm memory
// On <html>, data-battenbook says "starting", "ready" or "failed"; "ready" is also an event of the
// document, "battenbook:ready".
//
// All in one block, because the names outside it are those of the page's own functions.

globalThis.battenbook = { exports: { plan, version } };

{
  const root = document.documentElement;
  const block = (id) => document.getElementById(id);

  // Taken before anything changes the document, so that a saved file starts as clean as this one.
  const plan = block("battenbook-plan").textContent.trim();
  block("battenbook-plan").textContent = "";
  const source = "<!DOCTYPE html>\n" + root.outerHTML;

  // Inside a script element "<" could end the element; JSON may write it as an escape.
  const PLAN_START = '<script type="application/json" id="battenbook-plan">';
  const file = (plan) => {
    const escaped = plan.replaceAll("<", "\\u003c");
    return source.replace(PLAN_START, () => PLAN_START + escaped);
  };

  const battenbook = Object.assign(globalThis.battenbook, { plan, file });
  root.dataset.battenbook = "starting";

  const unpack = async (base64) => {
    const text = atob(base64.trim());
    const packed = new Uint8Array(text.length);
    for (let i = 0; i < text.length; i += 1) packed[i] = text.charCodeAt(i);
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    return new Response(stream).arrayBuffer();
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

  try {
    battenbook.module = await WebAssembly.compile(await unpack(block("battenbook-wasm").textContent));
    const exports = await __wbg_init({ module_or_path: battenbook.module });
    battenbook.memory = exports.memory;
    root.dataset.battenbook = "ready";
    performance.mark("battenbook:ready");
    document.dispatchEvent(new Event("battenbook:ready"));
  } catch (error) {
    fail(error);
  }
}
