// SPDX-License-Identifier: Apache-2.0
import { useEffect, useRef, useState } from 'preact/hooks';

/// A figure that shows in the accent for a moment when it has changed. With `onWhy` it can be asked where it comes from.
export function Figure({ text, onWhy, label }: { text: string; onWhy?: () => void; label?: string }) {
  const before = useRef(text);
  const [fresh, setFresh] = useState(false);
  useEffect(() => {
    if (before.current === text) return;
    before.current = text;
    setFresh(true);
    const timer = setTimeout(() => setFresh(false), 1400);
    return () => clearTimeout(timer);
  }, [text]);
  const look = `figure ${fresh ? 'fresh' : ''}`;
  if (!onWhy) return <span class={look}>{text}</span>;
  return (
    <button type="button" class={`${look} asks`} onClick={onWhy} aria-label={label ? `${label}: ${text}, why?` : `${text}, why?`}>
      {text}
    </button>
  );
}
