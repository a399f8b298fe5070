/* Says when there is no connection, and asks the worker to keep these pages for such a time.
   The line stands at a fixed place, so that nothing moves. There is no worker on file://, in a
   frame, and where the page has no manifest (previews). */
{
  const sign = document.getElementById('offline'), kept = sign.textContent;
  const link = document.querySelector('[rel=manifest]');
  let lost;
  const tell = () => {
    sign.textContent = kept || (lost || !navigator.onLine ? sign.dataset.say : '');
  };
  addEventListener('offline', tell);
  addEventListener('online', () => tell(lost = 0));
  tell();
  const workers = link && self === top && navigator.serviceWorker;
  /* Once the page is there: starting a worker would hold up its first paint. */
  if (workers) addEventListener('load', () => setTimeout(() => {
    const createScriptURL = () => new URL('worker.js', link.href).href;
    const policy = self.trustedTypes?.createPolicy('worker', { createScriptURL });
    workers.register(policy ? policy.createScriptURL('') : createScriptURL())
      .then((found) => found.active && found.update().catch(() => tell(lost = 1)), () => {});
    workers.ready.then((found) => found.active.postMessage(''));
  }));
}
