// SPDX-License-Identifier: Apache-2.0
//
// The one place that speaks with the planner. Every failure becomes a Refusal: its diagnostics say what is wrong.
import type {
  Advice, Blades, CheckAnswer, Decided, Diagnostic, Example, FileKind, JobFile, Model, Pattern, Plan, Quick, SearchProgress, SheetKind, SiteQuestion, Thrift, Why, Yard,
} from './types';

export type RefusalKind = 'job' | 'busy' | 'away' | 'missing' | 'fault' | 'late';

export class Refusal extends Error {
  constructor(readonly kind: RefusalKind, readonly diagnostics: Diagnostic[], readonly retryAfter = 0) {
    super(diagnostics[0]?.what ?? kind);
  }
}

function said(what: string, cure = ''): Diagnostic[] {
  return [{ code: 'page', severity: 'error', what, cure, where: { file: '', line: 0, column: 0, piece: '' } }];
}

async function refusal(response: Response): Promise<Refusal> {
  const body = (await response.json().catch(() => null)) as { diagnostics?: Diagnostic[] } | null;
  const told = body?.diagnostics?.length ? body.diagnostics : said(`the planner answered ${response.status}`);
  if (response.status === 400) return new Refusal('job', told);
  if (response.status === 404 || response.status === 405 || response.status === 501) return new Refusal('missing', told);
  if (response.status === 503) return new Refusal('busy', told, Number(response.headers.get('Retry-After') ?? 1));
  // What stands before a planner, and answers in its place, has no word of the planner's own.
  if (response.status >= 500 && !body?.diagnostics?.length) return new Refusal('away', said('the planner does not answer', 'what you see is what it answered last'));
  return new Refusal(response.status === 504 ? 'late' : 'fault', told);
}

async function ask(path: string, init: RequestInit): Promise<Response> {
  let response: Response;
  try {
    response = await fetch('/api/v1' + path, init);
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new Refusal('away', said('the planner does not answer', 'what you see is what it answered last'));
  }
  if (!response.ok) throw await refusal(response);
  return response;
}

function post(path: string, job: string, signal?: AbortSignal): Promise<Response> {
  return ask(path, {
    method: 'POST', body: job, headers: { 'Content-Type': 'application/toml' }, ...(signal ? { signal } : {}),
  });
}

async function json<T>(response: Promise<Response>): Promise<T> {
  return (await (await response).json()) as T;
}

/// An answer that comes line by line: how far it is, and at last itself, or why there is none.
async function lastLine<T>(asked: Promise<Response>, tell: (progress: SearchProgress) => void): Promise<T> {
  const reader = (await asked).body!.getReader();
  const decoder = new TextDecoder();
  let rest = '';
  for (;;) {
    const { done, value } = await reader.read();
    rest += done ? decoder.decode() : decoder.decode(value, { stream: true });
    const lines = rest.split('\n');
    rest = lines.pop()!;
    for (const line of lines) {
      const told = JSON.parse(line) as T | SearchProgress | { diagnostics: Diagnostic[] };
      if ('diagnostics' in (told as object)) throw new Refusal('fault', (told as { diagnostics: Diagnostic[] }).diagnostics);
      if ('bound_minor' in (told as object)) tell(told as SearchProgress);
      else return told as T;
    }
    if (done) throw new Refusal('away', said('the planner stopped in the middle of its answer', 'ask again'));
  }
}

const query = (values: Record<string, string>) => '?' + new URLSearchParams(values).toString();

export const api = {
  patterns: (units: string, yard: string) =>
    json<Pattern[]>(ask('/patterns' + query(yard ? { units, yard } : { units }), {})),
  yards: () => json<Yard[]>(ask('/yards', {})),
  blades: () => json<Blades>(ask('/blades', {})),
  examples: () => json<Example[]>(ask('/examples', {})),
  jobs: () => json<JobFile[]>(ask('/jobs', {})),
  check: (job: string, signal?: AbortSignal) => json<CheckAnswer>(post('/check', job, signal)),
  /// Without its checks it is there much sooner, where there are many joints.
  quick: (job: string, signal?: AbortSignal, checks = true) => json<Quick>(post(checks ? '/quick' : '/quick?checks=0', job, signal)),
  /// With its fixings, which the quick answer leaves out.
  model: (job: string, signal?: AbortSignal) => json<Model>(post('/model', job, signal)),
  site: () => json<Record<string, SiteQuestion[]>>(ask('/site', {})),
  /// Without its order, and the winds it stands to, a plan is there much sooner.
  plan: (job: string, signal?: AbortSignal, order = true) => json<Plan>(post(order ? '/plan' : '/plan?order=0', job, signal)),
  why: (job: string, mark: string, signal?: AbortSignal) => json<Why>(post('/why' + query({ mark }), job, signal)),
  thrift: (job: string, choice: string, signal?: AbortSignal) =>
    json<Thrift>(post('/thrift' + query({ choice }), job, signal)),
  decide: (job: string, tell: (progress: SearchProgress) => void, signal: AbortSignal) =>
    lastLine<{ answer: Decided; job: string | null }>(post('/decide', job, signal), tell),
  advice: (job: string, tell: (progress: SearchProgress) => void, signal: AbortSignal) =>
    lastLine<{ answer: Advice; jobs: string[] }>(post('/advice', job, signal), tell),
  sheetList: (job: string, paper: string, signal?: AbortSignal) =>
    json<SheetKind[]>(post('/sheets/list' + query({ paper }), job, signal)),
  sheetPage: async (job: string, paper: string, page: number, signal?: AbortSignal) =>
    (await post('/sheets' + query({ format: 'svg', paper, page: String(page) }), job, signal)).blob(),
  sheets: async (job: string, paper: string, kinds: string[]) =>
    (await post('/sheets' + query(kinds.length ? { paper, sheets: kinds.join(',') } : { paper }), job)).blob(),
  files: () => json<FileKind[]>(ask('/files', {})),
  file: async (job: string, name: string) => (await post('/files/' + name, job)).blob(),
  readJob: async (name: string) => {
    const response = await ask(`/jobs/${encodeURIComponent(name)}`, {});
    return { text: await response.text(), etag: response.headers.get('ETag') ?? '' };
  },
  /// Over the version last read, or (no etag) as a new file. Answers the new ETag.
  saveJob: async (name: string, job: string, etag: string | null) => {
    const response = await ask(`/jobs/${encodeURIComponent(name)}`, {
      method: 'PUT', body: job,
      headers: { 'Content-Type': 'application/toml', ...(etag ? { 'If-Match': etag } : { 'If-None-Match': '*' }) },
    });
    return response.headers.get('ETag') ?? '';
  },
};

export function late(seconds: number): Refusal {
  return new Refusal('late', said(`no answer came within ${seconds} s`, 'ask for less: fewer structures or a smaller one'));
}

export function isAbort(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'AbortError';
}

export function asRefusal(error: unknown): Refusal {
  return error instanceof Refusal ? error : new Refusal('fault', said(error instanceof Error ? error.message : String(error)));
}
