/* Loads data of this site, below `base`: the answer is what they hand over together. `folders` are those
   of other languages, from which only the words of calls are loaded. */
const loaderOf = (base, folders) => {
  'use strict';
  const names = /^(?:calls|(?:\.\.\/)?(?:trail|[a-z0-9-]+\/likely))\.js$/;
  const tongues = /^(?:\.\.\/)?(?:[A-Za-z0-9]+(?:[_-][A-Za-z0-9]+)*\/)?$/;
  const others = (folders || []).filter((folder) => tongues.test(folder)).map((folder) => folder + 'calls.js');
  const address = (file) => {
    if (!names.test(file) && !others.includes(file)) throw new RangeError(file);
    return base + file;
  };
  const policy = self.trustedTypes && trustedTypes.createPolicy('stepstop', { createScriptURL: address });
  return (file) => new Promise((done, failed) => {
    const script = document.createElement('script');
    script.src = policy ? policy.createScriptURL(file) : address(file);
    script.onload = () => done(self.stepstop);
    script.onerror = failed;
    document.head.append(script);
  });
};
