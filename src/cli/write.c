// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Answers written. A file is written beside the one it replaces and then renamed, so that it is there whole or not at
// all; where writing fails or a signal ends the program, the unfinished file is removed.

#include "cli/cli.h"

#include "base/visible.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <time.h>
#include <unistd.h>

// ------------------------------------------------------------------------------------------------ the unfinished file

static char *unfinished; // its name, set before it is made; for the handler

static void
remove_unfinished(int number)
{
  const char *name = g_atomic_pointer_get(&unfinished);
  if (name) {
    unlink(name);
  }
  raise(number); // and be ended by it, as is usual
}

// A descriptor that is closed would be given to a file that is opened, and a message would be written into it.
static void
fill_standard_descriptors(void)
{
  for (int fd = STDIN_FILENO; fd <= STDERR_FILENO; ++fd) {
    if (fcntl(fd, F_GETFD) == -1 && open("/dev/null", fd == STDIN_FILENO ? O_WRONLY : O_RDONLY) == -1) {
      abort();
    }
  }
}

void
cli_guard_files(void)
{
  static const int ending[] = { SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGXCPU };
  struct sigaction action = { .sa_handler = remove_unfinished, .sa_flags = (int)SA_RESETHAND };
  struct sigaction before;
  for (guint i = 0; i < G_N_ELEMENTS(ending); ++i) {
    if (!sigaction(ending[i], NULL, &before) && before.sa_handler == SIG_DFL) { // nohup has SIGHUP ignored
      sigaction(ending[i], &action, NULL);
    }
  }
  signal(SIGXFSZ, SIG_IGN); // a file that grows too large is an error like a full disk
  fill_standard_descriptors();
}

// --------------------------------------------------------------------------------------------------- what a kill left

enum { LEFT_BEHIND = 60 * 60 }; // seconds since an unfinished file was written to

// How the names of the unfinished files of the file called @p name begin; a new string.
static char *
unfinished_start(const char *name)
{
  char *sum = g_compute_checksum_for_string(G_CHECKSUM_SHA256, name, -1); // a name may be as long as names can be
  char *start = g_strdup_printf(".rowcall-%.16s-", sum);
  g_free(sum);
  return start;
}

// Whether no run writes to the file @p path any more, which holds a lock as long as it does.
static gboolean
is_left_behind(const char *path)
{
  GStatBuf file;
  if (g_lstat(path, &file) || !S_ISREG(file.st_mode) || time(NULL) - file.st_mtime < LEFT_BEHIND) {
    return FALSE;
  }
  const int fd = g_open(path, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC, 0);
  const gboolean left = fd != -1 && !flock(fd, LOCK_EX | LOCK_NB);
  if (fd != -1) {
    close(fd);
  }
  return left;
}

// Removes from @p folder what killed runs left of one file. What cannot be removed stays and does no harm.
static void
remove_left_behind(const char *folder, const char *prefix)
{
  GDir *dir = g_dir_open(folder, 0, NULL);
  for (const char *entry; dir && (entry = g_dir_read_name(dir));) {
    char *path = g_build_filename(folder, entry, NULL);
    if (g_str_has_prefix(entry, prefix) && g_str_has_suffix(entry, ".part") && is_left_behind(path)) {
      g_unlink(path);
    }
    g_free(path);
  }
  if (dir) {
    g_dir_close(dir);
  }
}

// -------------------------------------------------------------------------------------------------- before it is made

static gboolean
complain_of_writing(const char *path, int number)
{
  cli_complain("%s: cannot be written: %s; nothing was written", path, g_strerror(number));
  return FALSE;
}

static gboolean
is_terminal(const char *path)
{
  return !path || !strcmp(path, "-");
}

gboolean
cli_can_write(const char *path)
{
  GStatBuf file;
  if (is_terminal(path)) {
    return TRUE;
  }
  if (!g_stat(path, &file) && !S_ISREG(file.st_mode)) {
    cli_complain("%s: is a folder or a device; name a file to write to", path);
    return FALSE;
  }
  if (g_access(path, F_OK) && g_file_test(path, G_FILE_TEST_IS_SYMLINK)) {
    cli_complain("%s: is a link to a file that is not there; remove the link or name another file", path);
    return FALSE;
  }
  char *folder = g_path_get_dirname(path);
  const gboolean refused = g_access(folder, W_OK) || (!g_access(path, F_OK) && g_access(path, W_OK));
  const int number = errno;
  g_free(folder);
  return !refused || complain_of_writing(path, number);
}

gboolean
cli_spares(const CliOptions *options, const char *input)
{
  GStatBuf out;
  GStatBuf in;
  if (is_terminal(options->output) || g_stat(options->output, &out)) {
    return TRUE;
  }
  const gboolean known = strcmp(input, "-") != 0 ? !g_stat(input, &in) : !fstat(STDIN_FILENO, &in);
  if (known && in.st_dev == out.st_dev && in.st_ino == out.st_ino) {
    cli_complain("%s: is read as well, and would be lost; name another file to write to", options->output);
    return FALSE;
  }
  return TRUE;
}

// ------------------------------------------------------------------------------------------------------------ writing

static gboolean
write_all(int fd, const char *data, gsize length)
{
  while (length) {
    const gssize n = write(fd, data, length);
    if (n < 0 && errno != EINTR) {
      return FALSE;
    }
    data += MAX(n, 0);
    length -= (gsize)MAX(n, 0);
  }
  return TRUE;
}

// Writes to a file just made, and closes it; 0, or why it failed.
static int
fill_file(int fd, const char *path, const char *data, gsize length)
{
  GStatBuf old;
  int number = 0;
  if (!g_stat(path, &old) && fchmod(fd, old.st_mode & 0777)) { // the rights stay those of the old file
    number = errno;
  }
  if (!number && (!write_all(fd, data, length) || (fsync(fd) && errno != EINVAL))) { // not all places can be synced
    number = errno;
  }
  if (close(fd) && !number) {
    number = errno;
  }
  return number;
}

// Makes the file `name`, which becomes `path` when it is whole; 0, or why it failed.
static int
make_file(const char *name, const char *path, const char *data, gsize length)
{
  const int fd = g_open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  if (fd == -1) {
    return errno;
  }
  flock(fd, LOCK_EX | LOCK_NB); // until it is closed; says that it is being written
  int number = fill_file(fd, path, data, length);
  if (!number && g_rename(name, path)) {
    number = errno;
  }
  if (number) {
    g_unlink(name);
  }
  return number;
}

static gboolean
write_file(const char *path, const char *data, gsize length)
{
  char *real = realpath(path, NULL); // what a link leads to
  const char *target = real ? real : path;
  char *folder = g_path_get_dirname(target);
  char *base = g_path_get_basename(target);
  char *start = unfinished_start(base);
  char *name = g_strdup_printf("%s/%s%08x.part", folder, start, g_random_int());
  remove_left_behind(folder, start);
  g_atomic_pointer_set(&unfinished, name);
  const int number = make_file(name, target, data, length);
  g_atomic_pointer_set(&unfinished, NULL);
  g_free(name);
  g_free(start);
  g_free(base);
  g_free(folder);
  free(real);
  return !number || complain_of_writing(path, number);
}

static gboolean
write_data(const char *path, const char *data, gsize length)
{
  if (!is_terminal(path)) {
    return cli_can_write(path) && write_file(path, data, length);
  }
  if (!write_all(STDOUT_FILENO, data, length)) {
    cli_complain("writing to standard output failed: %s", g_strerror(errno));
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_end_help(void)
{
  if (fflush(stdout)) {
    cli_complain("writing to standard output failed: %s", g_strerror(errno));
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_write_text(const char *path, const GString *text)
{
  GString *shown = rc_visible_lines(text->str, text->len);
  const gboolean good = write_data(path, shown->str, shown->len);
  g_string_free(shown, TRUE);
  return good;
}

gboolean
cli_write_bytes(const char *path, GBytes *bytes, GError *error)
{
  if (!bytes) {
    cli_complain_error(error);
    return FALSE;
  }
  gsize length = 0;
  const char *data = g_bytes_get_data(bytes, &length);
  const gboolean good = write_data(path, data, length);
  g_bytes_unref(bytes);
  return good;
}

RcImprint
cli_imprint(const char *title)
{
  RcImprint imprint = { .title = title };
  const char *epoch = g_getenv("SOURCE_DATE_EPOCH");
  GDateTime *date = epoch ? g_date_time_new_from_unix_utc(g_ascii_strtoll(epoch, NULL, 10)) : NULL;
  if (date) {
    imprint.date = g_date_time_format(date, "%Y-%m-%dT%H:%M:%SZ");
    g_date_time_unref(date);
  }
  return imprint;
}

gboolean
cli_write_answer(const CliOptions *options, RcTextFormat format, const CliAnswer *answer)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    GError *error = NULL;
    RcImprint imprint = cli_imprint(answer->title);
    GBytes *bytes = answer->draw(answer->data, picture, &imprint, &error);
    g_free((char *)imprint.date);
    return cli_write_bytes(options->output, bytes, error);
  }
  GString *text = g_string_new(NULL);
  answer->text(text, format, answer->data);
  const gboolean good = cli_write_text(options->output, text);
  g_string_free(text, TRUE);
  return good;
}
