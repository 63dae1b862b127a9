// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/pdf_structure.h"

#include <string.h>

enum { ENTRY = 20 }; // bytes of a line of the cross-reference table

typedef struct {
  GByteArray *pdf;
  guint64 table; // where the table that cairo wrote begins
  guint root;    // number of the catalog
  guint n;       // objects, with the free one that comes first
  GString *old;  // numbers and places of the objects written anew, as lines of a table
} Update;

char *
rc_pdf_alternative(const char *text)
{
  enum { MOST = 4000 }; // letters
  char *start = g_utf8_substring(text, 0, MIN(g_utf8_strlen(text, -1), MOST));
  gunichar2 *units = g_utf8_to_utf16(start, -1, NULL, NULL, NULL);
  GString *entry = g_string_new("/Alt <FEFF");
  for (const gunichar2 *unit = units; unit && *unit; ++unit) {
    g_string_append_printf(entry, "%04X", *unit);
  }
  g_free(units);
  g_free(start);
  return g_string_free(g_string_append_c(entry, '>'), FALSE);
}

char *
rc_pdf_heading_scope(const char *scope)
{
  return g_strdup_printf("/A << /O /Table /Scope /%s >>", scope);
}

// The number after `what` in the trailer, 0 where it is not there.
static guint64
number_after(const GByteArray *pdf, const char *what)
{
  enum { LONGEST = 160 }; // bytes of the trailer; before it are lines of the table
  const gsize length = MIN(pdf->len, LONGEST);
  const char *place = g_strstr_len((const char *)pdf->data + pdf->len - length, (gssize)length, what);
  return place ? g_ascii_strtoull(place + strlen(what), NULL, 10) : 0;
}

// How much of the file there is from a place in it; no zero ends it.
static gsize
bytes_from(const Update *u, const char *place)
{
  return (gsize)((const char *)u->pdf->data + u->pdf->len - place);
}

static const char *
next_line(const Update *u, const char *place)
{
  return (const char *)memchr(place, '\n', bytes_from(u, place)) + 1;
}

static const char *
object_text(const Update *u, guint number)
{
  const char *first = next_line(u, (const char *)u->pdf->data + u->table + strlen("xref\n"));
  const char *text = (const char *)u->pdf->data + g_ascii_strtoull(first + (gsize)number * ENTRY, NULL, 10);
  return next_line(u, text);
}

static gboolean
takes_entry(const char *object)
{
  static const char figure[] = "<< /Type /StructElem\n   /S /Figure\n";
  static const char heading[] = "<< /Type /StructElem\n   /S /TH\n";
  return g_str_has_prefix(object, figure) || g_str_has_prefix(object, heading);
}

static void
append(Update *u, const char *text, gsize n)
{
  g_byte_array_append(u->pdf, (const guint8 *)text, (guint)n);
}

// Writes an object anew with an entry more at the end of its dictionary.
static void
add_entry(Update *u, guint number, const char *entry)
{
  const char *text = object_text(u, number);
  const char *end = g_strstr_len(text, (gssize)bytes_from(u, text), ">>\nendobj");
  if (!end) {
    return;
  }
  char *written = g_strdup_printf("%u 0 obj\n%.*s   %s\n>>\nendobj\n", number, (int)(end - text), text, entry);
  g_string_append_printf(u->old, "%u 1\n%010u 00000 n \n", number, u->pdf->len);
  append(u, written, strlen(written));
  g_free(written);
}

// The document's title and language as XMP (ISO 16684-1), in an object of its own after those of cairo, which writes
// none. Sets its number and counts it.
static guint
add_metadata(Update *u, const char *title)
{
  const guint number = u->n++;
  char *xmp =
    g_markup_printf_escaped("<?xpacket begin=\"\xEF\xBB\xBF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"
                            "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n"
                            "<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n"
                            "<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" "
                            "xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\">\n"
                            "<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">%s</rdf:li></rdf:Alt></dc:title>\n"
                            "<dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>\n"
                            "<xmp:CreatorTool>rowcall</xmp:CreatorTool>\n"
                            "</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>",
                            title);
  char *object = g_strdup_printf("%u 0 obj\n<< /Type /Metadata\n   /Subtype /XML\n   /Length %" G_GSIZE_FORMAT
                                 "\n>>\nstream\n%s\nendstream\nendobj\n",
                                 number, strlen(xmp), xmp);
  g_string_append_printf(u->old, "%u 1\n%010u 00000 n \n", number, u->pdf->len);
  append(u, object, strlen(object));
  g_free(object);
  g_free(xmp);
  return number;
}

static void
end_update(Update *u, guint info)
{
  const guint table = u->pdf->len;
  char *trailer = g_strdup_printf("xref\n%strailer\n<< /Size %u\n   /Root %u 0 R\n   /Info %u 0 R\n   /Prev "
                                  "%" G_GUINT64_FORMAT "\n>>\nstartxref\n%u\n%%%%EOF\n",
                                  u->old->str, u->n, u->root, info, u->table, table);
  append(u, trailer, strlen(trailer));
  g_free(trailer);
}

void
rc_pdf_complete(GByteArray *pdf, const char *title, const GPtrArray *entries)
{
  guint used = 0;
  Update u = { pdf, number_after(pdf, "startxref\n"), (guint)number_after(pdf, "/Root "),
               (guint)number_after(pdf, "/Size "), g_string_new(NULL) };
  const guint info = (guint)number_after(pdf, "/Info ");
  g_return_if_fail(u.table && u.root && g_str_has_prefix((const char *)pdf->data + u.table, "xref\n"));
  for (guint i = 1; i < u.n && used < entries->len; ++i) {
    if (takes_entry(object_text(&u, i))) {
      add_entry(&u, i, g_ptr_array_index(entries, used++));
    }
  }
  char *catalog = g_strdup_printf("/Lang (en)\n   /ViewerPreferences << /DisplayDocTitle true >>\n   /Metadata %u 0 R",
                                  add_metadata(&u, title));
  add_entry(&u, u.root, catalog);
  g_free(catalog);
  end_update(&u, info);
  g_string_free(u.old, TRUE);
}
