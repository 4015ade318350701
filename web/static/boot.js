// Starts the program, says how far loading is, keeps the site for use without
// a network, and says so when the program has stopped. Nothing here knows
// about bones.
"use strict";
(() => {
  const meta = (name) => document.querySelector(`meta[name="isthmus-${name}"]`)?.content ?? "";

  // What go-app asks of its page. Go replaces the empty functions.
  const env = {
    GOAPP_VERSION: meta("version"),
    GOAPP_STATIC_RESOURCES_URL: "",
    GOAPP_ROOT_PREFIX: "",
    GOAPP_INTERNAL_URLS: "[]",
  };
  globalThis.goappGetenv = (key) => env[key] ?? "";
  globalThis.goappOnUpdate = () => {};
  globalThis.goappNav = () => {};
  globalThis.goappOnAppInstallChange = () => {};

  // ---- when the program has stopped

  let go = null;
  let dead = false;

  function stopped(sentence, reason) {
    if (dead) return;
    dead = true;
    const make = (tag, text) => Object.assign(document.createElement(tag), { textContent: text });
    const main = make("main", "");
    main.className = "boot";
    const alert = make("div", "");
    alert.setAttribute("role", "alert");
    alert.append(make("p", sentence));
    if (reason) alert.append(make("p", `Reason: ${reason}`));
    const button = make("button", "Reload the page");
    button.type = "button";
    button.addEventListener("click", () => location.reload());
    main.append(make("h1", "Isthmus"), alert, button);
    document.body.replaceChildren(main);
    button.focus();
  }
  const ended = () => stopped("The program stopped. What was saved is kept. Reload the page.");

  // Go turns an error of a script it called into a Go error. One that comes
  // out through Go is a trap, and Go does not live on after a trap.
  const isTrap = (error) => error instanceof WebAssembly.RuntimeError || error instanceof RangeError;
  addEventListener("error", (event) => {
    if (go && (go.exited || isTrap(event.error))) ended();
  });
  addEventListener("unhandledrejection", (event) => {
    if (go && (go.exited || event.reason instanceof WebAssembly.RuntimeError)) ended();
  });

  // ---- when the page goes out of sight

  // A phone may end a page that is out of sight. A text that is still being
  // typed counts only when it is left, so it is taken before.
  function takeText() {
    const field = document.activeElement;
    if (!dead && field?.matches("input[type=text], textarea")) {
      field.dispatchEvent(new Event("change", { bubbles: true }));
    }
  }
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") takeText();
  });
  addEventListener("pagehide", takeText);

  // ---- loading

  function progress(done, total) {
    const line = document.getElementById("boot-status");
    if (!line || !(total > 0)) return;
    const percent = Math.min(100, Math.floor((100 * done) / total));
    const text = `Loading the program: ${percent} %`;
    if (line.textContent !== text) line.textContent = text;
  }

  // Counts the bytes as they come, after unpacking, against the size that the
  // build wrote into the page.
  async function fetchCounted(path, total) {
    const answer = await fetch(path);
    if (!answer.ok) throw new Error(`${path} answered ${answer.status}`);
    // Kept here already: nothing to count, and only the answer itself lets the
    // browser use machine code that it kept from an earlier visit.
    if (navigator.serviceWorker?.controller) return answer;
    let done = 0;
    const counter = new TransformStream({
      transform(chunk, out) {
        done += chunk.byteLength;
        progress(done, total);
        out.enqueue(chunk);
      },
    });
    return new Response(answer.body.pipeThrough(counter), { headers: { "Content-Type": "application/wasm" } });
  }

  async function start() {
    if (typeof WebAssembly !== "object" || typeof Go !== "function") {
      throw new Error("this browser does not run WebAssembly");
    }
    const runner = new Go();
    const source = await WebAssembly.instantiateStreaming(
      fetchCounted("/app.wasm", Number(meta("size"))),
      runner.importObject,
    );
    go = runner;
    go.run(source.instance).then(ended, ended);
  }

  // ---- use without a network, and new versions

  let registration = null;

  // A new version waits until the person says so: isthmusActivate.
  function offer() {
    if (!registration?.waiting || !navigator.serviceWorker.controller) return;
    dispatchEvent(new Event("isthmus-update"));
    if (!dead) globalThis.goappOnUpdate();
  }
  function watch(worker) {
    worker?.addEventListener("statechange", () => {
      if (worker.state === "installed") offer();
    });
  }
  // It may be asked for before this page has registered the worker itself.
  globalThis.isthmusActivate = async () => {
    const workers = navigator.serviceWorker;
    const known = registration ?? (await workers?.getRegistration());
    if (!known?.waiting) {
      location.reload();
      return;
    }
    workers.addEventListener("controllerchange", () => location.reload(), { once: true });
    known.waiting.postMessage("activate-now");
  };

  async function keepForLater() {
    const workers = navigator.serviceWorker;
    if (!workers) return;
    registration = await workers.register("/sw.js", { updateViaCache: "none" });
    watch(registration.installing);
    registration.addEventListener("updatefound", () => watch(registration.installing));
    offer();
    // An app that stays open for days looks for a new version when it is
    // looked at again, at most once an hour.
    let last = Date.now();
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState !== "visible" || Date.now() - last < 3600e3) return;
      last = Date.now();
      registration.update().catch(() => {});
    });
  }

  start().then(
    // After the program has come, so that it is not fetched twice at once.
    () => keepForLater().catch((error) => console.warn("not kept for use without a network:", error)),
    (error) => stopped("The program could not be loaded. What was saved is kept. Reload the page.", error.message),
  );
})();
