/** Text as it stands between tags or in an attribute; what XML 1.0 cannot hold is left out. */
export function escapeXml(text: string): string {
  return text
    .replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;');
}

export type Attributes = Readonly<Record<string, string | number | null>>;

/** An element with its content, which is XML already; attributes that are null are left out. */
export function element(name: string, attributes: Attributes, ...content: readonly string[]): string {
  const said = Object.entries(attributes)
    .filter(([, value]) => value !== null)
    .map(([key, value]) => ` ${key}="${escapeXml(String(value))}"`)
    .join('');
  const inside = content.join('');
  return inside === '' ? `<${name}${said}/>` : `<${name}${said}>${inside}</${name}>`;
}

/** An element that holds a text. */
export const textElement = (name: string, text: string | number, attributes: Attributes = {}): string =>
  element(name, attributes, escapeXml(String(text)));
