/**
 * Code pages that `TextDecoder` has no table of, those of DOS, or not everywhere the right one: Node 20 reads bytes 128 to 159 of windows-1252 as
 * control characters. The characters of the bytes from 128 on; those behind the end of a list are Unicode's of the same number.
 *
 * @see Unicode Consortium, Mappings/VENDORS/MICSFT/PC, CP437, CP850, CP852, CP865; Encoding Standard, index windows-1252
 */
const PAGES: Readonly<Record<string, string>> = {
  "windows-1252": "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ",
  ibm437:
    "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐" +
    "└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u00a0",
  ibm850:
    "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒáíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐" +
    "└┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u00ad±‗¾¶§÷¸°¨·¹³²■\u00a0",
  ibm852:
    "ÇüéâäůćçłëŐőîŹÄĆÉĹĺôöĽľŚśÖÜŤťŁ×čáíóúĄąŽžĘę¬źČş«»░▒▓│┤ÁÂĚŞ╣║╗╝Żż┐" +
    "└┴┬├─┼Ăă╚╔╩╦╠═╬¤đĐĎËďŇÍÎě┘┌█▄ŢŮ▀ÓßÔŃńňŠšŔÚŕŰýÝţ´\u00ad˝˛ˇ˘§÷¸°¨˙űŘř■\u00a0",
  ibm865:
    "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø₧ƒáíóúñÑªº¿⌐¬½¼¡«¤░▒▓│┤╡╢╖╕╣║╗╝╜╛┐" +
    "└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u00a0",
};

/** A decoder of one of these pages, undefined for a name that is none of them. */
export function byteDecoder(name: string): ((bytes: Uint8Array) => string) | undefined {
  const page = Object.hasOwn(PAGES, name) ? PAGES[name]! : undefined;
  if (page === undefined) return undefined;
  return (bytes) => {
    let text = "";
    for (let i = 0; i < bytes.length; i++) {
      const byte = bytes[i]!;
      text += byte < 128 ? String.fromCharCode(byte) : (page[byte - 128] ?? String.fromCharCode(byte));
    }
    return text;
  };
}
