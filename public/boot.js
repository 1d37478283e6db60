// Starts the page. It follows the generated glue (which defines `wasm_bindgen`) in the one script of the
// page, and the same text runs again inside the worker, where there is no document. It knows how to
// start, to hand work to a worker and to fail decently; what the page shows it does not know.

(function () {
  "use strict";

  if (typeof document === "undefined") {
    answerJobs();
    return;
  }

  const OWN_TEXT = document.currentScript.textContent;
  const STATIC_TABLE = document.getElementById("app").innerHTML;
  const FAILED_AT = "leanyear-failed-at";
  const FAILED_TWICE_MS = 10000;

  let moduleReady = null;
  let failed = false;
  const running = new Set();
  const site = { kept: false, newer: false };
  let registration = null;

  globalThis.leanyear = { job, cancel, update, site, save, savePicture };
  // Until the page itself stands there, the document speaks the language of its table.
  const table = document.querySelector("#app > [lang]");
  if (table) document.documentElement.lang = table.lang;

  window.addEventListener("error", (event) => {
    if (isOurs(event.error)) fail(event.error);
  });
  window.addEventListener("unhandledrejection", (event) => {
    if (isOurs(event.reason)) fail(event.reason);
  });

  if (typeof WebAssembly !== "object" || typeof BigInt !== "function" || typeof HTMLDialogElement !== "function") {
    sayAboveTable(words().too_old);
    return;
  }
  start();

  // ---- the page ----

  function start() {
    moduleReady = unpacked(document.getElementById("wasm").textContent).then((wasm) => {
      const compiled = WebAssembly.compile(wasm);
      // Asked for the first time, a browser takes long to learn how numbers are written: it may while it compiles.
      (0.5).toLocaleString();
      return compiled;
    });
    moduleReady
      .then((module) => wasm_bindgen({ module_or_path: module }))
      .then(() => {
        wasm_bindgen.leanyear_start();
        registerServiceWorker();
      })
      .catch((error) => {
        // A browser that knows WebAssembly but not this kind of it.
        if (error instanceof WebAssembly.CompileError || error instanceof WebAssembly.LinkError) {
          sayAboveTable(words().too_old);
        } else {
          fail(error);
        }
      });
  }

  // The program lies compressed in the page; nothing is fetched for this.
  function unpacked(text) {
    const [unpacker, apart, size] = leanyear_unpacker;
    return WebAssembly.instantiate(Uint8Array.from(atob(unpacker), (letter) => letter.charCodeAt(0))).then(({ instance }) => {
      const { memory, leanyear_decode, leanyear_unpack, leanyear_join } = instance.exports;
      const start = memory.buffer.byteLength;
      memory.grow(Math.ceil((text.length + apart + size) / 65536));
      const { written } = new TextEncoder().encodeInto(text, new Uint8Array(memory.buffer, start));
      const length = leanyear_decode(start, written);
      const [parts, whole] = [start + length, start + length + apart];
      if (!leanyear_unpack(start, length, parts, apart) || !leanyear_join(parts, apart, whole, size)) {
        throw new Error("the program in the page is broken");
      }
      return new Uint8Array(memory.buffer, whole, size);
    });
  }

  // ---- work off the screen ----

  // Answers `request` (JSON) with JSON, in a worker of its own that ends with the job. `progress`, if
  // given, is called with each text that the job reports. Rejects with an AbortError after `cancel()`.
  function job(request, progress) {
    return new Promise((resolve, reject) => {
      const task = { worker: null, address: null, end };
      running.add(task);

      function end(settle, value) {
        if (!running.delete(task)) return;
        if (task.worker) task.worker.terminate();
        if (task.address) URL.revokeObjectURL(task.address);
        settle(value);
      }
      task.cancel = () => end(reject, new DOMException("cancelled", "AbortError"));

      moduleReady.then((module) => {
        if (running.has(task)) startWorker(task, module);
      }).catch(() => onThisThread(task));

      function startWorker(current, module) {
        current.address = URL.createObjectURL(new Blob([OWN_TEXT], { type: "text/javascript" }));
        const worker = new Worker(current.address);
        current.worker = worker;
        let alive = false;
        worker.onmessage = (event) => {
          const message = event.data;
          if (message.alive) alive = true;
          else if (message.progress !== undefined) { if (progress) progress(message.progress); }
          else if (message.answer !== undefined) end(resolve, message.answer);
          else end(reject, new Error(message.error));
        };
        // A worker that never came alive is not allowed here; one that did has failed at its work.
        worker.onerror = (event) => {
          event.preventDefault();
          if (alive) end(reject, new Error(event.message));
          else onThisThread(current);
        };
        worker.postMessage({ wasm: module, job: request });
      }

      function onThisThread(current) {
        if (!running.has(current)) return;
        if (current.worker) current.worker.terminate();
        current.worker = null;
        setTimeout(() => {
          if (!running.has(current)) return;
          try {
            end(resolve, wasm_bindgen.leanyear_job(request));
          } catch (error) {
            end(reject, error);
            fail(error);
          }
        }, 0);
      }
    });
  }

  function cancel() {
    for (const task of Array.from(running)) task.cancel();
  }

  // ---- files to be kept ----

  function save(name, type, text) {
    offer(name, new Blob([text], { type }));
  }

  // Drawn by the browser itself, twice as fine as it is measured, on the paper that the picture brings.
  function savePicture(name, svg) {
    const address = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
    const image = new Image();
    image.onload = () => {
      const canvas = document.createElement("canvas");
      canvas.width = image.naturalWidth * 2;
      canvas.height = image.naturalHeight * 2;
      canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
      URL.revokeObjectURL(address);
      canvas.toBlob((blob) => { if (blob) offer(name, blob); }, "image/png");
    };
    image.onerror = () => URL.revokeObjectURL(address);
    image.src = address;
  }

  function offer(name, blob) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = name;
    link.click();
    // The browser needs the address until it has begun to write.
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  // ---- failing decently ----

  function isOurs(error) {
    return error instanceof WebAssembly.RuntimeError || error instanceof RangeError;
  }

  function fail() {
    if (failed) return;
    failed = true;
    cancel();
    const text = words();
    if (failedJustNow()) {
      sayAboveTable(text.failed_twice);
      return;
    }
    const box = sayAboveTable(text.failed);
    box.append(button(text.open_again, () => location.reload()));
    box.append(button(text.start_over, () => {
      // A link wins over what the page remembers, and this one leaves every setting as the network has it.
      location.hash = "#v=1";
      location.reload();
    }));
    if (location.hash.length > 1) {
      // The address is written only after a change has been drawn, so this is from before the failure.
      const line = document.createElement("p");
      const link = document.createElement("a");
      link.href = location.hash;
      link.textContent = location.hash;
      line.append(text.last_link, " ", link);
      box.append(line);
    }
  }

  function failedJustNow() {
    try {
      const before = sessionStorage.getItem(FAILED_AT);
      sessionStorage.setItem(FAILED_AT, String(Date.now()));
      // A clock that is wrong is wrong both times; one that was put right in between tells nothing.
      return before !== null && Math.abs(Date.now() - Number(before)) < FAILED_TWICE_MS;
    } catch {
      // Nothing can be remembered here; a page that fails soon after it was opened again has failed before.
      const [opened] = performance.getEntriesByType("navigation");
      return Boolean(opened) && opened.type === "reload" && performance.now() < FAILED_TWICE_MS;
    }
  }

  // A new element takes the place of `#app`: the old one still has listeners that lead into dead code.
  function sayAboveTable(sentence) {
    const app = document.createElement("div");
    app.id = "app";
    app.innerHTML = STATIC_TABLE;
    const box = document.createElement("div");
    box.className = "shell-notice";
    box.setAttribute("role", "alert");
    const line = document.createElement("p");
    line.textContent = sentence;
    box.append(line);
    app.prepend(box);
    document.getElementById("app").replaceWith(app);
    return box;
  }

  function button(label, press) {
    const element = document.createElement("button");
    element.type = "button";
    element.textContent = label;
    element.addEventListener("click", press);
    return element;
  }

  function words() {
    const all = JSON.parse(document.getElementById("site").textContent).words;
    return (all[document.documentElement.lang] || all.en).shell;
  }

  // ---- the hosted copy ----

  // `site.kept`: this phone has the page for where there is no signal. `site.newer`: newer data wait for
  // `update()`. Each change is told by the event "leanyear-site" on the window.
  function registerServiceWorker() {
    const loopback = ["localhost", "127.0.0.1", "[::1]"].includes(location.hostname);
    const hosted = location.protocol === "https:" || (location.protocol === "http:" && loopback);
    if (!hosted || !navigator.serviceWorker) return;
    navigator.serviceWorker.register("sw.js").then((found) => {
      registration = found;
      // Only a page that came with its service worker has these beside it.
      addLink("manifest", "manifest.webmanifest");
      // Elsewhere the icon is asked for at once, against the policy, although the manifest has its own.
      if ("standalone" in navigator) addLink("apple-touch-icon", "icons/touch-180.png");
      if (found.active) tell("kept");
      watch(found.waiting);
      watch(found.installing);
      found.addEventListener("updatefound", () => watch(found.installing));
    }, () => {
      // The single file on a web server, without the rest of the folder: nothing to keep it with.
    });
  }

  function watch(worker) {
    if (!worker) return;
    const look = () => {
      if (worker.state === "installed" && registration.active) tell("newer");
      if (worker.state === "activated") tell("kept");
    };
    worker.addEventListener("statechange", look);
    look();
  }

  function tell(what) {
    if (site[what]) return;
    site[what] = true;
    window.dispatchEvent(new Event("leanyear-site"));
  }

  function update() {
    if (!registration) return;
    // Another tab has taken it already.
    if (!registration.waiting) {
      location.reload();
      return;
    }
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload());
    registration.waiting.postMessage("skip-waiting");
  }

  function addLink(relation, address) {
    const link = document.createElement("link");
    link.rel = relation;
    link.href = address;
    document.head.append(link);
  }

  // ---- inside the worker ----

  function answerJobs() {
    globalThis.leanyear = { progress: (text) => self.postMessage({ progress: text }) };
    self.onmessage = (event) => {
      self.postMessage({ alive: true });
      try {
        if (event.data.wasm) wasm_bindgen.initSync({ module: event.data.wasm });
        self.postMessage({ answer: wasm_bindgen.leanyear_job(event.data.job) });
      } catch (error) {
        self.postMessage({ error: String(error) });
      }
    };
  }
})();
