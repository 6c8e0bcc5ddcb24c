// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from 'preact/hooks';
import { api, asRefusal, isAbort } from '../api/client';
import type { FileKind, SheetKind } from '../api/types';
import { download, fileName } from '../job/files';
import { committedText, jobText, title, units } from '../job/store';
import { say } from '../parts/status';

export function SheetsView() {
  const job = jobText.value;
  const [paper, setPaper] = useState(units.peek() === 'ft-in' ? 'letter' : 'a4');
  const [listed, setListed] = useState<{ of: string; kinds: SheetKind[] } | null>(null);
  const [left, setLeft] = useState<Set<string>>(new Set());   // kinds that are not wanted
  const [page, setPage] = useState(1);
  const [refused, setRefused] = useState<{ of: string; why: string } | null>(null);
  const [busy, setBusy] = useState(false);
  const [files, setFiles] = useState<FileKind[]>([]);   // for other programs
  useEffect(() => void api.files().then(setFiles, (error: unknown) => say(asRefusal(error).message)), []);
  // Sheets are of one text of one job on one paper; of another they are never shown.
  const of = `${paper} ${job}`;
  const kinds = listed?.of === of ? listed.kinds : null;
  const wrong = refused?.of === of ? refused.why : null;
  useEffect(() => {
    const stop = new AbortController();
    const timer = setTimeout(() => api.sheetList(job, paper, stop.signal).then((kinds) => setListed({ of, kinds }), (error: unknown) => {
      if (!isAbort(error)) setRefused({ of, why: asRefusal(error).message });
    }), 150);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [job, paper]);
  const pages = (kinds ?? []).reduce((sum, each) => sum + each.pages, 0);
  const shown = Math.min(page, Math.max(1, pages));
  const wanted = (kinds ?? []).filter((each) => !left.has(each.name)).map((each) => each.name);
  const pdf = async () => {
    setBusy(true);
    try {
      const all = kinds !== null && wanted.length === kinds.length;
      download(fileName(title.value, 'pdf'), await api.sheets(committedText(), paper, all ? [] : wanted));
    } catch (error) {
      say(asRefusal(error).message);
    }
    setBusy(false);
  };
  /// Full size on the paper that was chosen: to be printed without scaling, and checked by the rule on it.
  const templates = async () => {
    try {
      download('templates.pdf', await api.sheets(committedText(), paper, ['templates']));
    } catch (error) {
      say(asRefusal(error).message);
    }
  };
  const file = async (name: string) => {
    try {
      download(name, await api.file(committedText(), name));
    } catch (error) {
      say(asRefusal(error).message);
    }
  };
  return (
    <div class="sheets">
      <div class="sheets-list">
        <h2>Sheets</h2>
        <p class="inline-form">
          <label for="paper">Paper</label>
          <select id="paper" value={paper} onChange={(event) => setPaper(event.currentTarget.value)}>
            <option value="a4">A4</option><option value="letter">Letter</option>
          </select>
        </p>
        {wrong && <p role="alert">No sheets can be drawn: {wrong}</p>}
        {!kinds && !wrong && <p role="status">Drawing the sheets …</p>}
        <ul>
          {(kinds ?? []).map((each) => (
            <li key={each.name} class="sheet-kind">
              <input type="checkbox" checked={!left.has(each.name)} aria-label={`Print ${each.title}`}
                onChange={(event) => {
                  const next = new Set(left);
                  if (event.currentTarget.checked) next.delete(each.name);
                  else next.add(each.name);
                  setLeft(next);
                }} />
              <button type="button" aria-current={shown >= each.first_page && shown < each.first_page + each.pages ? 'true' : undefined}
                onClick={() => setPage(each.first_page)}>{each.title} <span class="quiet">{each.pages === 1 ? '1 page' : `${each.pages} pages`}</span></button>
            </li>
          ))}
        </ul>
        <p><button type="button" class="main-act" disabled={busy || wanted.length === 0 || !kinds} onClick={() => void pdf()}>{busy ? 'Printing …' : 'Download as PDF'}</button></p>
        <h3>Files</h3>
        <ul class="plain-list">
          {(kinds ?? []).some((each) => each.name === 'templates') && <li><button type="button" onClick={() => void templates()}>templates.pdf</button></li>}
          {files.map(({ name, about }) => <li key={name}><button type="button" title={about} onClick={() => void file(name)}>{name}</button></li>)}
        </ul>
      </div>
      <div class="preview">
        <div class="player" role="group" aria-label="Page">
          <button type="button" disabled={shown <= 1} onClick={() => setPage(shown - 1)}>Back</button>
          <span aria-live="polite">page {shown} of {pages || '…'}</span>
          <button type="button" disabled={shown >= pages} onClick={() => setPage(shown + 1)}>Next</button>
        </div>
        {kinds && pages > 0 && <Preview job={job} paper={paper} page={shown} title={kinds.find((each) => shown >= each.first_page && shown < each.first_page + each.pages)?.title ?? ''} />}
      </div>
    </div>
  );
}

function Preview({ job, paper, page, title: name }: { job: string; paper: string; page: number; title: string }) {
  const [drawn, setDrawn] = useState<{ of: string; url?: string; wrong?: string } | null>(null);
  const of = `${paper} ${page} ${job}`;
  const [url, wrong] = drawn?.of === of ? [drawn.url, drawn.wrong] : [undefined, undefined];
  useEffect(() => {
    const stop = new AbortController();
    let made: string | null = null;
    api.sheetPage(job, paper, page, stop.signal).then(
      (svg) => setDrawn({ of, url: (made = URL.createObjectURL(svg)) }),
      (error: unknown) => { if (!isAbort(error)) setDrawn({ of, wrong: asRefusal(error).message }); });
    return () => {
      stop.abort();
      if (made) URL.revokeObjectURL(made);
    };
  }, [job, paper, page]);
  if (wrong) return <p role="alert">{wrong}</p>;
  return url ? <img class="paper" src={url} alt={`Sheet: ${name}, page ${page}`} /> : <p role="status">Drawing …</p>;
}
