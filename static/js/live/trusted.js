// The page's one Trusted Types policy, named in the content security policy: `holdfast-parts`.
//
// Owns the two places where a string becomes something powerful: a part's HTML, rendered by our own board and used by
// patch.js alone, and the address of our own live worker. Browsers without Trusted Types get the plain strings.

const WORKER = new URL("./worker.js", import.meta.url).href;

const policy = globalThis.trustedTypes?.createPolicy("holdfast-parts", {
  createHTML: (html) => html,
  createScriptURL: (url) => {
    if (url !== WORKER) throw new TypeError("only the live worker may be started");
    return url;
  },
});

/** The elements of a part's HTML; table rows keep their cells because a template has no context of its own. */
export function elementsOf(html) {
  const template = document.createElement("template");
  template.innerHTML = policy ? policy.createHTML(html) : html;
  return template.content;
}

/** The address of the live worker, as the SharedWorker constructor wants it. */
export function workerAddress() {
  return policy ? policy.createScriptURL(WORKER) : WORKER;
}
