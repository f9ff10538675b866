// Requests to the service. What goes wrong is thrown as { word, detail?, errors?, ... }: the key of one of the element's
// words with its values, and the service's own sentences.

const PATIENCE_MS = 20_000;

export async function ask(base, path, body) {
  const reply = await fetch(base + path, {
    ...(body && { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) }),
    credentials: "omit", signal: AbortSignal.timeout(PATIENCE_MS) }).catch(() => {
    throw { word: "unreachable" };
  });
  const { status } = reply;
  if (reply.ok) return reply;
  if (status === 429 || status === 503) {
    throw { word: "busy", seconds: parseInt(reply.headers.get("Retry-After")) || 10 };
  }
  const { detail, errors } = (await reply.json().catch(() => 0)) || {}; // a proxy answers in HTML
  throw { word: "failed", status, detail: typeof detail === "string" ? detail : undefined,
    errors: Array.isArray(errors) ? errors : [] };
}

/** The JSON of a reply, if it has these lists. */
export async function readLists(base, path, body, ...lists) {
  const reply = await ask(base, path, body);
  const document = await reply.json().catch(() => 0);
  if (lists.some((list) => !Array.isArray(document?.[list]))) throw { word: "failed", status: reply.status };
  return document;
}
