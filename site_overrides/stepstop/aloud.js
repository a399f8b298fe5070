/* Reads aloud what shows of the page, where the browser has a voice. */
{
  const button = document.getElementById('aloud'), voice = self.speechSynthesis;
  const pressed = (yes) => button.setAttribute('aria-pressed', yes);
  button.hidden = !voice;
  button.onclick = () => {
    const reads = voice.speaking;
    voice.cancel();
    pressed(!reads);
    if (reads) return;
    const said = new SpeechSynthesisUtterance(document.querySelector('main').innerText);
    said.lang = document.documentElement.lang;
    said.onend = () => pressed(false);
    voice.speak(said);
  };
}
