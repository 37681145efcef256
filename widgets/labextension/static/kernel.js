// What the kernel's state means for a lesson, in one notice.

const PATIENCE = 3000; // ms: a short gap in the connection is nobody's business

/**
 * @param {any} session the panel's sessionContext
 * @returns {{key: "kernel", says: string, button?: string, cure?: "restart" | "reconnect", grave: boolean} | null}
 */
export function kernelNotice(session) {
  const kernel = session.session?.kernel ?? null;
  const restart = { button: "Restart the kernel and run the lesson", cure: /** @type {const} */ ("restart") };
  if (kernel === null) {
    if (!session.isReady) return null; // still starting
    return { key: "kernel", says: "This lesson has no kernel. Your checked answers are kept.", ...restart, grave: true };
  }
  if (["restarting", "autorestarting"].includes(kernel.status)) {
    return { key: "kernel", says: "The kernel is restarting. Your checked answers are kept.", grave: false };
  }
  if (kernel.status === "dead" || kernel.status === "terminating") {
    return { key: "kernel", says: "The kernel has stopped. Your checked answers are kept.", ...restart, grave: true };
  }
  if (kernel.connectionStatus !== "connected") {
    return {
      key: "kernel",
      says: "The connection to the kernel is lost. Your checked answers are kept.",
      button: "Connect again",
      cure: "reconnect",
      grave: true,
    };
  }
  return null;
}

/**
 * Watch a session: `told` gets each notice (null when all is well); a lost connection is told after a while.
 * @param {any} session
 * @param {(notice: ReturnType<typeof kernelNotice>) => void} told
 * @returns {() => void} stops watching
 */
export function watchKernel(session, told) {
  let timer = 0;
  const look = () => {
    clearTimeout(timer);
    const notice = kernelNotice(session);
    if (notice?.cure === "reconnect") timer = setTimeout(() => told(kernelNotice(session)), PATIENCE);
    else told(notice);
  };
  const signals = [session.statusChanged, session.connectionStatusChanged, session.kernelChanged];
  for (const signal of signals) signal.connect(look);
  look();
  return () => {
    clearTimeout(timer);
    for (const signal of signals) signal.disconnect(look);
  };
}

/** Start the kernel again, also when there is none any more. @param {any} session */
export async function restart(session) {
  const kernel = session.session?.kernel;
  if (kernel && kernel.status !== "dead") {
    await kernel.restart();
    return;
  }
  const name = kernel?.name || session.prevKernelName || session.kernelPreference.name || "python3";
  await session.changeKernel({ name });
}
