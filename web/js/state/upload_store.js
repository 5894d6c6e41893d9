/**
 * Photos on their way to the service, kept in this browser until the service has them whole. Bytes are
 * kept as buffers, since a file that is read again later may come back empty.
 */

const NAME = 'tapeproof-uploads';
const VERSION = 1;

/**
 * @typedef {object} Upload
 * @property {string} id
 * @property {string} wall id; empty for a photo of a card
 * @property {string} [job] id of the job that a photo of a card is for
 * @property {string} filename
 * @property {string} sha256 hex, of the whole file
 * @property {number} size bytes
 * @property {string[]} digests base64 SHA-256 of each part
 */

/** @returns {Promise<IDBDatabase>} */
export function openStore() {
  return new Promise((done, fail) => {
    const asked = indexedDB.open(NAME, VERSION);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore('uploads', { keyPath: 'id' });
      asked.result.createObjectStore('parts');
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
}

/**
 * Keeps a photo and its parts, all or nothing.
 * @param {IDBDatabase} store
 * @param {Upload} upload
 * @param {ArrayBuffer[]} parts
 */
export function keepUpload(store, upload, parts) {
  const change = store.transaction(['uploads', 'parts'], 'readwrite', { durability: 'strict' });
  change.objectStore('uploads').put(upload);
  parts.forEach((part, number) => change.objectStore('parts').put(part, [upload.id, number]));
  return ended(change);
}

/**
 * @param {IDBDatabase} store
 * @returns {Promise<Upload[]>}
 */
export function keptUploads(store) {
  return answered(store.transaction('uploads').objectStore('uploads').getAll());
}

/**
 * @param {IDBDatabase} store
 * @param {string} id
 * @param {number} number
 * @returns {Promise<ArrayBuffer | undefined>}
 */
export function keptPart(store, id, number) {
  return answered(store.transaction('parts').objectStore('parts').get([id, number]));
}

/**
 * @param {IDBDatabase} store
 * @param {Upload} upload
 */
export function forgetUpload(store, upload) {
  const change = store.transaction(['uploads', 'parts'], 'readwrite');
  change.objectStore('uploads').delete(upload.id);
  upload.digests.forEach((_, number) => change.objectStore('parts').delete([upload.id, number]));
  return ended(change);
}

/** @template T @param {IDBRequest<T>} request @returns {Promise<T>} */
function answered(request) {
  return new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
}

/** @param {IDBTransaction} change @returns {Promise<void>} */
function ended(change) {
  return new Promise((done, fail) => {
    change.oncomplete = () => done();
    change.onerror = () => fail(change.error);
    change.onabort = () => fail(change.error);
  });
}
