/* A phrase with what is given put in for `{name}`, as `Tongue.worded` does it. */
const put = (text, values) => text.replace(/\{(\w+)\}/g, (place, name) => values[name]);
