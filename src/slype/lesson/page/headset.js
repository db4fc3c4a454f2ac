/**
 * The button of a headset: browsers hand it to a page that plays something, so a second of silence is played over and
 * over while it is wanted.
 */

const RATE = 8000;

/** A second of silence as a sound file (WAV, 8 bits). */
function silence() {
  const out = new DataView(new ArrayBuffer(44 + RATE));
  const words = (at, text) => [...text].forEach((letter, i) => out.setUint8(at + i, letter.charCodeAt(0)));
  words(0, "RIFF");
  out.setUint32(4, 36 + RATE, true);
  words(8, "WAVEfmt ");
  out.setUint32(16, 16, true);
  out.setUint16(20, 1, true);
  out.setUint16(22, 1, true);
  out.setUint32(24, RATE, true);
  out.setUint32(28, RATE, true);
  out.setUint16(32, 1, true);
  out.setUint16(34, 8, true);
  words(36, "data");
  out.setUint32(40, RATE, true);
  for (let i = 0; i < RATE; i++) out.setUint8(44 + i, 128);
  return new Blob([out], { type: "audio/wav" });
}

export class Headset {
  /** @param {() => void} onward @param {() => void} back */
  constructor(onward, back) {
    this.can = "mediaSession" in navigator;
    this.does = { play: onward, pause: onward, nexttrack: onward, previoustrack: back };
    this.on = false;
  }

  /** To be called from a touch or a key: browsers play nothing by themselves. */
  async turn(on) {
    this.on = false;
    if (!this.can) return;
    this.sound ??= Object.assign(new Audio(URL.createObjectURL(silence())), { loop: true });
    if (!on) return this.sound.pause();
    try {
      await this.sound.play();
      for (const [name, does] of Object.entries(this.does)) {
        navigator.mediaSession.setActionHandler(name, () => {
          does();
          this.sound.play().catch(() => {});
          navigator.mediaSession.playbackState = "playing";
        });
      }
      this.on = true;
    } catch {
      // not allowed: the large button and keys remain
    }
  }
}
