/** An element with attributes (`part` serves as class as well), listeners (functions) and children; text stays text. */
export function make(tag, given = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(given)) {
    if (typeof value === "function") made.addEventListener(name, value);
    else if ((value ?? false) !== false) made.setAttribute(name, value);
  }
  if (given.part) made.className = given.part;
  made.append(...children.flat().filter(Boolean));
  return made;
}

export const button = (part, says, click, more) => make("button", {
  part: `button ${part}`, type: "button", click, ...more }, says);

/** Style by CSSOM, which a policy without inline styles allows. */
export const styled = (made, name, value) => {
  made.style.setProperty(name, value);
  return made;
};
