// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The reference for reading MusicXML: expat's elements and texts, each thrown away.

#include <expat.h>
#include <stdio.h>

enum { BLOCK = 64 << 10 };

static void XMLCALL
start_element(void *data, const char *name, const char **attributes)
{
  (void)data, (void)name, (void)attributes;
}

static void XMLCALL
end_element(void *data, const char *name)
{
  (void)data, (void)name;
}

static void XMLCALL
read_characters(void *data, const char *text, int length)
{
  (void)data, (void)text, (void)length;
}

int
main(int argc, char **argv)
{
  FILE *file = argc == 2 ? fopen(argv[1], "rb") : NULL;
  XML_Parser parser = XML_ParserCreate(NULL);
  if (!file || !parser) {
    return 2;
  }
  XML_SetElementHandler(parser, start_element, end_element);
  XML_SetCharacterDataHandler(parser, read_characters);
  for (size_t n = 1; n;) {
    n = fread(XML_GetBuffer(parser, BLOCK), 1, BLOCK, file);
    if (XML_ParseBuffer(parser, (int)n, n == 0) != XML_STATUS_OK) {
      return 1;
    }
  }
  XML_ParserFree(parser);
  fclose(file);
  return 0;
}
