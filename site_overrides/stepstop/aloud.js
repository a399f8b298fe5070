/* Reads aloud what shows of the page, each part in its own language, where the browser has a voice. */
{
  const button = document.getElementById('aloud'), voice = self.speechSynthesis;
  const pressed = (yes) => button.setAttribute('aria-pressed', yes);
  /* [language, text] of what shows: what a gate still hides is not read. */
  const parts = (node, lang) => !node.getClientRects().length ? []
    : node.querySelector('[lang]') ? [...node.children].flatMap((each) => parts(each, each.lang || lang))
      : [[lang, node.innerText]];
  button.hidden = !voice;
  button.onclick = () => {
    const reads = voice.speaking;
    voice.cancel();
    pressed(!reads);
    if (reads) return;
    for (const [lang, text] of parts(document.querySelector('main'), document.documentElement.lang)) {
      const said = new SpeechSynthesisUtterance(text);
      said.lang = lang;
      said.onend = () => pressed(voice.speaking || voice.pending);
      voice.speak(said);
    }
  };
}
