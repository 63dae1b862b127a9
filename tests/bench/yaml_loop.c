// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The reference for reading YAML: libyaml's events, each thrown away.

#include <stdio.h>
#include <yaml.h>

int
main(int argc, char **argv)
{
  yaml_parser_t parser;
  yaml_event_t event;
  FILE *file = argc == 2 ? fopen(argv[1], "rb") : NULL;
  if (!file || !yaml_parser_initialize(&parser)) {
    return 2;
  }
  yaml_parser_set_input_file(&parser, file);
  for (int ended = 0; !ended; yaml_event_delete(&event)) {
    if (!yaml_parser_parse(&parser, &event)) {
      return 1;
    }
    ended = event.type == YAML_STREAM_END_EVENT;
  }
  yaml_parser_delete(&parser);
  fclose(file);
  return 0;
}
