// SPDX-License-Identifier: Apache-2.0
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/// A window over the sheet: Escape, its button or a click beside it close it.
export function Dialog({ title, close, children }: { title: string; close: () => void; children: ComponentChildren }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  return (
    <dialog ref={dialog} onClose={close} aria-label={title}
      onClick={(event) => { if (event.target === dialog.current) dialog.current?.close(); }}>
      <div class="dialog-inside">
        <header class="dialog-head">
          <h2>{title}</h2>
          <button type="button" onClick={() => dialog.current?.close()}>Close</button>
        </header>
        {children}
      </div>
    </dialog>
  );
}
