/* Loads data of this site, below `base`: the answer is what they hand over together. */
const loaderOf = (base) => {
  'use strict';
  const names = /^(?:\.\.\/)?(?:trail|calls|[a-z0-9-]+\/likely)\.js$/;
  const address = (file) => {
    if (!names.test(file)) throw new RangeError(file);
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
