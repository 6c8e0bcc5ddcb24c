// SPDX-License-Identifier: Apache-2.0
//
// Changes single values of a job file and leaves every other character as its writer put it: comments, order, spelling.
// A place is a path of keys; the n-th [[structure]] is the key "structure#n".

export type Path = readonly string[];

interface Entry {
  path: string[];
  keyStart: number;
  valueStart: number;
  valueEnd: number;
}
interface Header {
  path: string[];
  start: number;
  end: number;
}
interface Layout {
  entries: Entry[];
  headers: Header[];
}

const same = (a: Path, b: Path) => a.length === b.length && a.every((key, i) => key === b[i]);
const under = (a: Path, root: Path) => a.length >= root.length && root.every((key, i) => key === a[i]);

class Reader {
  at = 0;
  constructor(readonly text: string) {}

  skip(pattern: RegExp): void {
    pattern.lastIndex = this.at;
    if (pattern.exec(this.text)) this.at = pattern.lastIndex;
  }
  blanks(): void {
    this.skip(/[ \t]*/y);
  }
  blanksAndLines(): void {
    this.skip(/(?:[ \t\r\n]|#[^\n]*)*/y);
  }
  get done(): boolean {
    return this.at >= this.text.length;
  }
  starts(what: string): boolean {
    return this.text.startsWith(what, this.at);
  }
  string(): void {
    for (const quote of ['"""', "'''"]) {
      if (!this.starts(quote)) continue;
      const end = this.text.indexOf(quote, this.at + 3);
      this.at = end < 0 ? this.text.length : end + 3;
      return;
    }
    this.skip(this.starts('"') ? /"(?:\\.|[^"\\\n])*"?/y : /'[^'\n]*'?/y);
  }
  keys(): string[] {
    const keys: string[] = [];
    do {
      if (this.starts('.')) this.at += 1;
      this.blanks();
      const from = this.at;
      if (this.starts('"') || this.starts("'")) {
        this.string();
        keys.push(this.text.slice(from + 1, this.at - 1));
      } else {
        this.skip(/[A-Za-z0-9_-]+/y);
        keys.push(this.text.slice(from, this.at));
      }
      this.blanks();
    } while (this.starts('.'));
    return keys;
  }
  value(): void {
    if (this.starts('"') || this.starts("'")) return this.string();
    if (this.starts('[') || this.starts('{')) {
      const close = this.starts('[') ? ']' : '}';
      this.at += 1;
      for (;;) {
        this.blanksAndLines();
        if (this.done) return;
        if (this.starts(close)) {
          this.at += 1;
          return;
        }
        const before = this.at;
        if (this.starts(',') || this.starts('=')) this.at += 1;
        else this.value();
        if (this.at === before) this.at += 1;
      }
    }
    this.skip(/[^,\]}#\r\n=]*/y);
    while (this.at > 0 && /[ \t]/.test(this.text[this.at - 1] ?? '')) this.at -= 1;
  }
}

function layout(text: string): Layout {
  const reader = new Reader(text);
  const found: Layout = { entries: [], headers: [] };
  const counts = new Map<string, number>();
  let table: string[] = [];
  for (;;) {
    reader.blanksAndLines();
    if (reader.done) return found;
    const start = reader.at;
    if (reader.starts('[')) {
      const many = reader.starts('[[');
      reader.at += many ? 2 : 1;
      const keys = reader.keys();
      reader.skip(/\]{1,2}/y);
      const first = keys[0] ?? '';
      if (many && keys.length === 1) counts.set(first, (counts.get(first) ?? -1) + 1);
      table = counts.has(first) ? [`${first}#${counts.get(first)}`, ...keys.slice(1)] : keys;
      found.headers.push({ path: table, start, end: reader.at });
      continue;
    }
    const keys = reader.keys();
    if (reader.starts('=')) reader.at += 1;
    reader.blanks();
    const valueStart = reader.at;
    reader.value();
    if (reader.at === start) reader.at += 1;  // not TOML: step on; the planner says what is wrong
    else found.entries.push({ path: [...table, ...keys], keyStart: start, valueStart, valueEnd: reader.at });
    reader.skip(/[^\n]*/y);
  }
}

export function tomlString(text: string): string {
  if (!/['\x00-\x1f\x7f]/.test(text) && text.includes('"')) return `'${text}'`;
  return JSON.stringify(text).replace(/\x7f/g, '\\u007f');
}
function tomlKey(key: string): string {
  return /^[A-Za-z0-9_-]+$/.test(key) ? key : tomlString(key);
}

/// The value's text as it stands in the job, or null.
export function rawValue(text: string, path: Path): string | null {
  const entry = layout(text).entries.find((each) => same(each.path, path));
  return entry ? text.slice(entry.valueStart, entry.valueEnd) : null;
}

/// Which line (from 1) a key stands on; 0 when it does not.
export function lineOf(text: string, path: Path): number {
  const entry = layout(text).entries.find((each) => same(each.path, path));
  return entry ? text.slice(0, entry.keyStart).split('\n').length : 0;
}

/// The path of the key that stands on this line, or null.
export function pathOnLine(text: string, line: number): string[] | null {
  return pathsByLine(text)(line);
}

/// The same for many lines of one text, which is read once.
export function pathsByLine(text: string): (line: number) => string[] | null {
  const lineAt = (place: number) => text.slice(0, place).split('\n').length;
  const spans = layout(text).entries.map((each) => ({ path: each.path, first: lineAt(each.keyStart), last: lineAt(each.valueEnd) }));
  return (line) => spans.find((each) => line >= each.first && line <= each.last)?.path ?? null;
}

function lineEnd(text: string, at: number): number {
  const end = text.indexOf('\n', at);
  return end < 0 ? text.length : end;
}

function insertLine(text: string, after: number, line: string): string {
  const at = lineEnd(text, after);
  return `${text.slice(0, at)}\n${line}${text.slice(at)}`;
}

function remove(text: string, entry: Entry): string {
  const from = text.lastIndexOf('\n', entry.keyStart - 1) + 1;
  const to = lineEnd(text, entry.valueEnd);
  return text.slice(0, from) + text.slice(Math.min(to + 1, text.length));
}

function inlineParent(parts: Layout, text: string, path: Path): Entry | undefined {
  return parts.entries.find(
    (each) => each.path.length < path.length && under(path, each.path) && text[each.valueStart] === '{');
}

function setInline(text: string, parent: Entry, keys: Path, value: string | null): string {
  const inner = text.slice(parent.valueStart + 1, parent.valueEnd - 1);
  const rows: string[] = [];
  const reader = new Reader(inner);
  const name = keys.join('.');
  let placed = false;
  for (;;) {
    reader.blanksAndLines();
    if (reader.starts(',')) reader.at += 1;
    reader.blanksAndLines();
    if (reader.done) break;
    const start = reader.at;
    const found = reader.keys().join('.');
    if (reader.starts('=')) reader.at += 1;
    reader.blanks();
    reader.value();
    if (reader.at === start) break;
    if (found !== name) rows.push(inner.slice(start, reader.at).trim());
    else if (value !== null) rows.push(`${keys.map(tomlKey).join('.')} = ${value}`);
    placed ||= found === name;
  }
  if (!placed && value !== null) rows.push(`${keys.map(tomlKey).join('.')} = ${value}`);
  return `${text.slice(0, parent.valueStart)}{ ${rows.join(', ')} }${text.slice(parent.valueEnd)}`;
}

/// The job with the value at `path` replaced, added, or (null) taken out. `value` is TOML: `1350`, `"ogee"`.
export function setValue(text: string, path: Path, value: string | null): string {
  const parts = layout(text);
  const entry = parts.entries.find((each) => same(each.path, path));
  if (entry && value === null) return remove(text, entry);
  if (entry) return text.slice(0, entry.valueStart) + value + text.slice(entry.valueEnd);
  const parent = inlineParent(parts, text, path);
  if (parent) return setInline(text, parent, path.slice(parent.path.length), value);
  if (value === null) return text;

  const table = path.slice(0, -1);
  const line = `${tomlKey(path[path.length - 1] ?? '')} = ${value}`;
  const header = parts.headers.find((each) => same(each.path, table));
  const inTable = parts.entries.filter((each) => same(each.path.slice(0, -1), table));
  const last = inTable[inTable.length - 1];
  if (table.length === 0) {
    if (last) return insertLine(text, last.valueEnd, line);
    const first = parts.headers[0]?.start ?? text.length;
    return `${text.slice(0, first)}${line}\n${text.slice(first)}`;
  }
  if (last) return insertLine(text, last.valueEnd, line);
  if (header) return insertLine(text, header.end, line);

  // A table that is not there yet comes after all that belongs to its parent.
  const title = `[${table.map((key) => tomlKey(key.replace(/#\d+$/, ''))).join('.')}]`;
  const root = table.slice(0, 1);
  const ends = [
    ...parts.entries.filter((each) => under(each.path, root)).map((each) => each.valueEnd),
    ...parts.headers.filter((each) => under(each.path, root)).map((each) => each.end),
  ];
  if (ends.length > 0) return insertLine(text, Math.max(...ends), `\n${title}\n${line}`);
  const firstStructure = parts.headers.find((each) => each.path[0]?.startsWith('structure#'));
  if (!firstStructure) return `${text.replace(/\n*$/, '\n')}\n${title}\n${line}\n`;
  return `${text.slice(0, firstStructure.start)}${title}\n${line}\n\n${text.slice(firstStructure.start)}`;
}

/// The job without anything that stands under `path`: values, tables and their headers.
export function removeUnder(text: string, path: Path): string {
  for (;;) {
    const parts = layout(text);
    const entry = parts.entries.find((each) => under(each.path, path));
    if (entry) {
      text = remove(text, entry);
      continue;
    }
    const header = parts.headers.find((each) => under(each.path, path));
    if (!header) return text;
    const from = text.lastIndexOf('\n', header.start - 1) + 1;
    const blankBefore = /\n[ \t]*\n$/.test(text.slice(0, from)) ? /[ \t]*\n$/.exec(text.slice(0, from))![0].length : 0;
    text = text.slice(0, from - blankBefore) + text.slice(Math.min(lineEnd(text, header.end) + 1, text.length));
  }
}

export function choicePath(structure: number, choice: string): Path {
  return [`structure#${structure}`, 'choices', choice];
}
