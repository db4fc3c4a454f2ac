/** The device's own voice, where it has one; asked for, never by itself unless that is chosen. */

export class Voice {
  constructor() {
    this.can = "speechSynthesis" in globalThis && "SpeechSynthesisUtterance" in globalThis;
  }

  say(text) {
    if (!this.can) return;
    speechSynthesis.cancel();
    const said = new SpeechSynthesisUtterance(text);
    said.lang = "en";
    said.rate = 0.9;
    speechSynthesis.speak(said);
  }

  hush() {
    if (this.can) speechSynthesis.cancel();
  }
}
