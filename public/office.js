// What preparing a network needs of the browser: files that are dropped or chosen, work kept between visits,
// and the page's own parts, from which it makes the next page. It follows boot.js in the one script of the
// page and adds to what that offers; inside a worker it does nothing. What is in the files it does not know.

(function () {
  "use strict";

  if (typeof document === "undefined" || !globalThis.leanyear) return;
  const OWN_TEXT = document.currentScript.textContent;
  const STORE = "drafts";
  // A file larger than this is refused by its size alone, before it is read.
  const MOST_BYTES = 64 * 1024 * 1024;
  const MOST_FILES = 200;

  Object.assign(globalThis.leanyear, { filesOf, keepDraft, keptDraft, forgetDraft, ownParts });

  // ---- files ----

  // What a file field or a drop brought: a promise of [name, bytes or null if it is too large, size] each.
  function filesOf(source) {
    const listed = source.items && source.items.length ? fromItems(source.items) : Array.from(source.files || []);
    return Promise.resolve(listed).then((files) => Promise.all(files.slice(0, MOST_FILES).map(read)));
  }

  function read(file) {
    if (file.size > MOST_BYTES) return [file.name, null, file.size];
    return file.arrayBuffer().then((bytes) => [file.name, new Uint8Array(bytes), file.size]);
  }

  // A dropped folder is opened; the items have to be asked at once, while the drop lasts.
  function fromItems(items) {
    const entries = Array.from(items)
      .filter((item) => item.kind === "file")
      .map((item) => (item.webkitGetAsEntry && item.webkitGetAsEntry()) || item.getAsFile());
    return Promise.all(entries.map(filesUnder)).then((lists) => lists.flat());
  }

  function filesUnder(entry) {
    if (!entry) return [];
    if (entry instanceof File) return [entry];
    if (entry.isFile) return new Promise((done) => entry.file((file) => done([file]), () => done([])));
    return allOf(entry.createReader(), []).then((found) => Promise.all(found.filter((one) => one.isFile).map(filesUnder)))
      .then((lists) => lists.flat());
  }

  // A folder is told in portions until an empty one comes.
  function allOf(reader, found) {
    return new Promise((done) => {
      reader.readEntries(
        (portion) => done(portion.length === 0 || found.length >= MOST_FILES ? found : allOf(reader, found.concat(portion))),
        () => done(found),
      );
    });
  }

  // ---- drafts ----

  function withStore(mode, work) {
    return new Promise((resolve, reject) => {
      const opening = indexedDB.open("leanyear", 1);
      opening.onupgradeneeded = () => opening.result.createObjectStore(STORE);
      opening.onerror = () => reject(opening.error);
      opening.onblocked = () => reject(new Error("blocked"));
      opening.onsuccess = () => {
        const database = opening.result;
        let transaction, request;
        try {
          transaction = database.transaction(STORE, mode);
          request = work(transaction.objectStore(STORE));
        } catch (error) {
          // Somebody else's database under this name, or one that is broken.
          database.close();
          reject(error);
          return;
        }
        transaction.oncomplete = () => { database.close(); resolve(request.result); };
        transaction.onerror = transaction.onabort = () => { database.close(); reject(transaction.error); };
      };
    });
  }

  // Before each text stands which tab wrote it, so that two tabs do not write over each other's work unseen.
  const MARK = "by ";
  const TAB = MARK + Math.random();
  const seen = {};

  // Who wrote a text, and the text; an earlier release wrote no name.
  function signed(kept) {
    if (typeof kept !== "string") return [undefined, null];
    const end = kept.startsWith(MARK) ? kept.indexOf("\n") : -1;
    return end < 0 ? [undefined, kept] : [kept.slice(0, end), kept.slice(end + 1)];
  }

  // Whether it is kept: false where another tab wrote after this one last looked.
  function keepDraft(name, text) {
    let kept = false;
    const write = (store) => {
      const asked = store.get(name);
      asked.onsuccess = () => {
        const [by, was] = signed(asked.result);
        // A tab that only finds a text again does not take it over.
        const same = was === text;
        kept = same || was === null || by === TAB || by === seen[name];
        if (same || !kept) return;
        try {
          store.put(`${TAB}\n${text}`, name);
        } catch (error) {
          asked.transaction.abort();
        }
      };
      return asked;
    };
    return withStore("readwrite", write).then(() => kept);
  }

  function keptDraft(name) {
    return withStore("readonly", (store) => store.get(name)).then((kept) => {
      const [by, text] = signed(kept);
      seen[name] = by;
      return text;
    });
  }

  function forgetDraft(name) {
    return withStore("readwrite", (store) => store.delete(name)).then(() => true);
  }

  // ---- the page's own parts ----

  // The texts that the page was made of, as the parser keeps them; nothing of the live document.
  function ownParts() {
    const text = (id) => document.getElementById(id).textContent;
    return [document.head.querySelector("style").textContent, OWN_TEXT, text("wasm"), text("site")];
  }
})();
