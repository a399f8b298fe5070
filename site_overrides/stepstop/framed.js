/* A file with a whole complaint in a frame of another site: tells that site how high it is, and
   whether a new step should be seen from its upper end. Nothing else is told, and nothing is heard.
   What leads out of the file opens on a page of its own. */
if (self !== top) {
  const root = document.documentElement;
  let told = 0;
  const tell = (isNew) => {
    told = Math.ceil(root.getBoundingClientRect().height);
    parent.postMessage({ type: 'stepstop', version: 1, height: told, top: isNew }, '*');
  };
  root.classList.add('framed');
  for (const a of document.querySelectorAll('a[href]:not([href^="#"], [href^=tel], [href^=sms])')) {
    a.target = '_blank';
    a.rel = 'noopener';
  }
  document.querySelector('#alone button').onclick = () => print();
  new ResizeObserver(() => {
    if (Math.abs(root.getBoundingClientRect().height - told) > 1) tell(false);
  }).observe(root);
  /* The other site may not have listened yet. */
  for (const wait of [1000, 4000]) setTimeout(() => tell(false), wait);
  addEventListener('hashchange', () => tell(true));
}
