// What only the browser can do with photos and sounds: to draw, to decode, to record. Errors carry
// the names that crates/builder/src/media.rs puts into words.

const error = (name) => Object.assign(new Error(name), { name });

/**
 * Draws a picture anew, as JPEG on white: at most `side` pixels long and `most` bytes heavy. What its
 * file told besides the picture (where and when it was taken) stays behind; its turn is kept.
 */
export async function redrawn(bytes, type, side, most) {
  const picture = await createImageBitmap(new Blob([bytes], { type }));
  const canvas = document.createElement("canvas");
  let scale = Math.min(1, side / Math.max(picture.width, picture.height));
  for (let round = 0; round < 8; round++, scale *= 0.8) {
    canvas.width = Math.max(1, Math.round(picture.width * scale));
    canvas.height = Math.max(1, Math.round(picture.height * scale));
    const pen = canvas.getContext("2d", { alpha: false });
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.imageSmoothingQuality = "high";
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    for (const quality of [0.85, 0.7, 0.55]) {
      const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", quality));
      if (blob?.type === "image/jpeg" && blob.size <= most) {
        picture.close();
        return new Uint8Array(await blob.arrayBuffer());
      }
    }
  }
  throw error("TooHeavy");
}

/** Decodes a sound to samples of one channel, `rate` a second and at most `seconds` long. */
export async function samples(bytes, rate, seconds) {
  const context = new OfflineAudioContext(1, 1, rate);
  const sound = await context.decodeAudioData(bytes.buffer);
  // A recording that was stopped by the clock is a little longer.
  if (sound.duration > seconds + 1) throw error("TooLong");
  const channels = Array.from({ length: sound.numberOfChannels }, (_, at) => sound.getChannelData(at));
  const made = new Int16Array(Math.min(sound.length, rate * seconds));
  for (let at = 0; at < made.length; at++) {
    let sum = 0;
    for (const channel of channels) sum += channel[at];
    const level = Math.max(-1, Math.min(1, sum / channels.length));
    made[at] = Math.round(level * 32767);
  }
  return made;
}

let recording;

const release = (stream) => stream.getTracks().forEach((track) => track.stop());

/**
 * Asks for the microphone and records for at most `most` milliseconds; tells each second that it
 * is on, from 0. Gives the bytes of what was recorded, in whatever form the browser has, or
 * nothing when it was given up.
 */
export async function record(most, second) {
  dropRecording();
  const own = (recording = { dropped: false });
  if (!navigator.mediaDevices?.getUserMedia) throw error("Insecure");
  if (!window.MediaRecorder) throw error("Unsupported");
  // An instrument is no noise, and no echo either.
  const audio = { echoCancellation: false, noiseSuppression: false };
  const stream = await navigator.mediaDevices.getUserMedia({ audio });
  if (own.dropped) {
    release(stream);
    return undefined;
  }
  const pieces = [];
  let clock;
  let limit;
  try {
    const recorder = new MediaRecorder(stream);
    recorder.ondataavailable = ({ data }) => pieces.push(data);
    await new Promise((done, failed) => {
      recorder.onstop = done;
      recorder.onerror = failed;
      own.stop = () => recorder.state !== "inactive" && recorder.stop();
      recorder.start();
      const begun = performance.now();
      let told = 0;
      second(0);
      clock = setInterval(() => {
        const now = Math.floor((performance.now() - begun) / 1000);
        if (now > told) second((told = now));
      }, 200);
      limit = setTimeout(own.stop, most);
    });
  } finally {
    clearInterval(clock);
    clearTimeout(limit);
    release(stream);
    if (recording === own) recording = undefined;
  }
  if (own.dropped) return undefined;
  return new Uint8Array(await new Blob(pieces).arrayBuffer());
}

/** Ends recording; before the microphone is there, gives it up. */
export function stopRecording() {
  if (recording?.stop) recording.stop();
  else dropRecording();
}

/** Lets go of the microphone, and of what was recorded. */
export function dropRecording() {
  if (!recording) return;
  recording.dropped = true;
  recording.stop?.();
  recording = undefined;
}
