// Hears the microphone for a while. The sound stays in memory and is gone with it; the
// microphone is let go of at the end, whatever happens.
//
// A ScriptProcessorNode, old as it is, is what runs in every engine under this page's policy: a
// worklet would need a second script, and a recorder packs the sound with loss.
//
// listen(milliseconds, open) calls open once the microphone is on, and promises
// { rate, samples } or an error whose name says why not: those of getUserMedia, or "Unsupported".

const listen = async (milliseconds, open) => {
  const refuse = (name) => {
    throw Object.assign(new Error(name), { name });
  };
  if (!navigator.mediaDevices?.getUserMedia || !globalThis.AudioContext) refuse("Unsupported");
  const stream = await navigator.mediaDevices.getUserMedia({
    // What makes speech clear takes a cloth's low note away.
    audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false },
  });
  const context = new AudioContext();
  try {
    const ear = context.createScriptProcessor?.(4096, 1, 1) ?? refuse("Unsupported");
    const parts = [];
    ear.onaudioprocess = ({ inputBuffer }) => parts.push(inputBuffer.getChannelData(0).slice());
    context.createMediaStreamSource(stream).connect(ear);
    // It runs only when it leads somewhere; what it puts out is silence.
    ear.connect(context.destination);
    await context.resume();
    open();
    await new Promise((done) => setTimeout(done, milliseconds));
    ear.onaudioprocess = null;
    const samples = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
    let at = 0;
    for (const part of parts) {
      samples.set(part, at);
      at += part.length;
    }
    return { rate: context.sampleRate, samples };
  } finally {
    for (const track of stream.getTracks()) track.stop();
    context.close();
  }
};

