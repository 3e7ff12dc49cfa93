// Questions to the service. An error carries what the service said: what was expected, what came.

export class Problem extends Error {
  constructor(status, told) {
    super(told.detail || `The service answered ${status}.`);
    this.status = status;
    this.errors = told.errors || [];
    this.state = told.state || {};
  }
}

export const bar = document.body.dataset.bar;
export const ofBar = (path = "") => `/v1/bars/${encodeURIComponent(bar)}${path}`;

export async function ask(method, path, { body, etag, signal } = {}) {
  const headers = {};
  if (body !== undefined) headers["Content-Type"] = "application/json";
  if (etag) headers["If-None-Match"] = etag;
  let answer;
  try {
    answer = await fetch(path, {
      method, headers, cache: "no-store", signal, body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Problem(0, { detail: "No connection to the service. Nothing was changed." });
  }
  if (answer.status === 304) return { data: null, etag, status: 304 };
  const told = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Problem(answer.status, told);
  return { data: told, etag: answer.headers.get("ETag"), status: answer.status };
}

export const get = async (path, more) => (await ask("GET", path, more)).data;
export const post = async (path, body, more) => (await ask("POST", path, { body, ...more })).data;
export const put = async (path, body) => (await ask("PUT", path, { body })).data;
