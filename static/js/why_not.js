// Why the board did not do something, short enough for a button. No DOM; emits nothing.

/** "try again", or what to do where trying again cannot help. */
export async function whyNot(answer) {
  const { code } = await answer.json().catch(() => ({}));
  return code === "only-follows" ? "do it on the board itself" : "try again";
}
