// Our own mark: two bodies on one rope, and the sense chosen as positive. Drawn in the text's colour.
export const SVG = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" width="16" height="16">
<g class="jp-icon3" style="fill:none" stroke="#616161" stroke-width="1.8" stroke-linecap="round" stroke-linejoin="round">
<path d="M6 13V8a6 6 0 0 1 12 0v4"/><rect x="3" y="13" width="6" height="5" rx="1"/><rect x="15" y="12" width="6" height="9" rx="1"/>
<path d="M12 14v6M9.8 16.2 12 14l2.2 2.2"/></g></svg>`;
