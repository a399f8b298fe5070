/* Whether a company answers at `time` (ms): `is_open` of hours.py, which states what the wall clock
   decides; a test holds that both say the same. Throws what it can't tell. */
const isOpen = ({ zone, spans, closed }, time) => {
  /* Without a zone a browser takes its own. */
  if (typeof zone !== 'string') throw new TypeError('hours without a zone');
  const part = {};
  const clock = new Intl.DateTimeFormat('en-US', {
    timeZone: zone, calendar: 'gregory', numberingSystem: 'latn', hourCycle: 'h23',
    year: 'numeric', month: 'numeric', day: 'numeric', hour: 'numeric', minute: 'numeric',
  });
  for (const { type, value } of clock.formatToParts(time)) part[type] = Number(value);
  /* The reading of the wall clock, kept as if it were UTC. Some browsers call midnight 24. */
  const wall = new Date(Date.UTC(
    part.year, part.month - 1, part.day, part.hour % 24, part.minute));
  /* Throws if any part is missing. */
  const date = wall.toISOString().slice(0, 10);
  const today = (wall.getUTCDay() + 6) % 7;
  const minute = wall.getUTCHours() * 60 + wall.getUTCMinutes();
  return !closed.includes(date) &&
    spans.some(([day, start, end]) => day === today && start <= minute && minute < end);
};
/* Says it on the page, and again before it can be long untrue: a page may lie open for days. */
{
  const tell = () => {
    for (const now of document.querySelectorAll('[data-hours] [data-now]')) {
      const { hours, open, closed } = now.closest('[data-hours]').dataset;
      /* What can't be told is not said: the hours in words stand there anyhow. */
      let said = '';
      try {
        said = isOpen(JSON.parse(hours), Date.now()) ? open : closed;
      } catch {}
      /* An equal text set anew would be read aloud anew. */
      if (now.textContent !== said) now.textContent = said;
    }
  };
  tell();
  setInterval(tell, 30000);
  addEventListener('pageshow', tell);
  document.addEventListener('visibilitychange', tell);
}
