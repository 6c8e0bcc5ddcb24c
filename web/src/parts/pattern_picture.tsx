// SPDX-License-Identifier: Apache-2.0
import { useEffect, useMemo } from 'preact/hooks';

/// A pattern as it is built. As an image, so that nothing inside it can run or reach out.
export function PatternPicture({ svg }: { svg: string }) {
  const url = useMemo(() => URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' })), [svg]);
  useEffect(() => () => URL.revokeObjectURL(url), [url]);
  return <img src={url} alt="" class="pattern-picture" />;
}
