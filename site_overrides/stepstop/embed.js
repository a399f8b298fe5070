/* For the site that shows a complaint in a frame: copy this file there. It makes the frame inside
   <stepstop-help> as high as the step that shows, and shows the complaint that `complaint` names.
   It stores nothing, asks nobody for anything, and hears of nothing but the height. */
customElements.define('stepstop-help', class extends HTMLElement {
  static observedAttributes = ['complaint'];
  #hear = (event) => {
    const frame = this.querySelector('iframe'), { data } = event;
    /* A frame without an origin of its own, which `sandbox` makes, is known by its window alone. */
    if (!frame || event.source !== frame.contentWindow) return;
    if (event.origin !== 'null' && event.origin !== new URL(frame.src).origin) return;
    if (data?.type !== 'stepstop' || data.version !== 1 || !Number.isInteger(data.height)) return;
    frame.style.height = Math.min(Math.max(data.height, 100), 60000) + 'px';
    for (const other of this.children) if (other !== frame) other.hidden = true;
    if (data.top === true && frame.getBoundingClientRect().top < 0) frame.scrollIntoView();
  };
  connectedCallback() {
    addEventListener('message', this.#hear);
  }
  disconnectedCallback() {
    removeEventListener('message', this.#hear);
  }
  attributeChangedCallback(name, old, complaint) {
    const frame = this.querySelector('iframe');
    if (!frame || !/^[a-z0-9]+(-[a-z0-9]+)*$/.test(complaint)) return;
    const wanted = new URL(`../${complaint}/pocket.html`, frame.src).href;
    if (frame.src !== wanted) frame.src = wanted;
  }
});
