// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Preloaded into the program under test, makes one call that concerns one file go wrong:
//   FAULT_CALL    which function: open, read, write, fsync, close or rename
//   FAULT_PATH    part of the file's path, or `stdin` or `stdout`
//   FAULT_NTH     which of its calls, counted from 1; that one leaves the file FAULT_TOLD
// and what happens then, beside or instead of the call:
//   FAULT_ERRNO   it fails with this number
//   FAULT_SHORT   of a write: only so many bytes are taken
//   FAULT_SIGNAL  the program gets this signal before the call
//   FAULT_DO      a command is run before the call

#undef _FILE_OFFSET_BITS // else open64() is what open() is called
#define _GNU_SOURCE

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { DESCRIPTORS = 1024 };

static char watched[DESCRIPTORS]; // whether a descriptor is of the file meant
static int calls;

// The function of that name that this file hides; `function` is its pointer's address.
static void
find(const char *name, void *function)
{
  void *found = dlsym(RTLD_NEXT, name);
  memcpy(function, &found, sizeof found); // ISO C has no cast from one to the other
}

static int
number_of(const char *variable)
{
  const char *text = getenv(variable);
  return text ? atoi(text) : 0;
}

static int
is_meant(const char *path)
{
  const char *part = getenv("FAULT_PATH");
  return part && strstr(path, part) != NULL;
}

static int
is_watched(int fd)
{
  const char *part = getenv("FAULT_PATH");
  const char *name = fd == STDIN_FILENO ? "stdin" : fd == STDOUT_FILENO ? "stdout" : NULL;
  return (name && part && !strcmp(part, name)) || (fd >= 0 && fd < DESCRIPTORS && watched[fd]);
}

static void
watch(int fd, const char *path)
{
  if (fd >= 0 && fd < DESCRIPTORS) {
    watched[fd] = (char)is_meant(path);
  }
}

static void
tell(void)
{
  FILE *(*real)(const char *, const char *) = NULL;
  find("fopen", &real);
  FILE *told = real(getenv("FAULT_TOLD"), "w");
  if (told) {
    fclose(told);
  }
}

static void
run(const char *command)
{
  unsetenv("LD_PRELOAD");
  if (system(command)) {
    abort();
  }
}

// Whether this call goes wrong; then errno is set, and what is to happen besides has happened.
static int
strikes(const char *call)
{
  const char *meant = getenv("FAULT_CALL");
  if (!meant || strcmp(meant, call) != 0 || ++calls != number_of("FAULT_NTH")) {
    return 0;
  }
  tell();
  const int signal_number = number_of("FAULT_SIGNAL");
  if (signal_number) {
    kill(getpid(), signal_number);
  }
  if (getenv("FAULT_DO")) {
    run(getenv("FAULT_DO"));
  }
  errno = number_of("FAULT_ERRNO");
  return errno != 0;
}

// ------------------------------------------------------------------------------------------------------------ opening

static int
open_by(const char *name, const char *path, int flags, mode_t mode)
{
  int (*real)(const char *, int, ...) = NULL;
  find(name, &real);
  if (is_meant(path) && strikes("open")) {
    return -1;
  }
  const int fd = real(path, flags, mode);
  watch(fd, path);
  return fd;
}

static mode_t
mode_of(int flags, va_list args)
{
  return flags & O_CREAT ? va_arg(args, mode_t) : 0;
}

int
open(const char *path, int flags, ...)
{
  va_list args;
  va_start(args, flags);
  const mode_t mode = mode_of(flags, args);
  va_end(args);
  return open_by("open", path, flags, mode);
}

int
open64(const char *path, int flags, ...)
{
  va_list args;
  va_start(args, flags);
  const mode_t mode = mode_of(flags, args);
  va_end(args);
  return open_by("open64", path, flags, mode);
}

int __open_2(const char *path, int flags);
int __open64_2(const char *path, int flags);

int
__open_2(const char *path, int flags)
{
  return open_by("open", path, flags, 0);
}

int
__open64_2(const char *path, int flags)
{
  return open_by("open64", path, flags, 0);
}

static FILE *
fopen_by(const char *name, const char *path, const char *mode)
{
  FILE *(*real)(const char *, const char *) = NULL;
  find(name, &real);
  if (is_meant(path) && strikes("open")) {
    return NULL;
  }
  FILE *file = real(path, mode);
  if (file) {
    watch(fileno(file), path);
  }
  return file;
}

FILE *
fopen(const char *path, const char *mode)
{
  return fopen_by("fopen", path, mode);
}

FILE *
fopen64(const char *path, const char *mode)
{
  return fopen_by("fopen64", path, mode);
}

// ------------------------------------------------------------------------------------------------ reading and writing

ssize_t
read(int fd, void *bytes, size_t size)
{
  ssize_t (*real)(int, void *, size_t) = NULL;
  find("read", &real);
  return is_watched(fd) && strikes("read") ? -1 : real(fd, bytes, size);
}

ssize_t __read_chk(int fd, void *bytes, size_t size, size_t room);

ssize_t
__read_chk(int fd, void *bytes, size_t size, size_t room)
{
  return size <= room ? read(fd, bytes, size) : -1;
}

// Fails as a real one does: by a descriptor that cannot be read.
static size_t
fail_reading(FILE *file, void *bytes, size_t size, size_t n)
{
  size_t (*real)(void *, size_t, size_t, FILE *) = NULL;
  find("fread", &real);
  const int number = errno;
  const int kept = dup(fileno(file));
  const int broken = open("/dev/null", O_WRONLY);
  dup2(broken, fileno(file));
  const size_t got = real(bytes, size, n, file);
  dup2(kept, fileno(file));
  errno = number;
  return got;
}

size_t
fread(void *bytes, size_t size, size_t n, FILE *file)
{
  size_t (*real)(void *, size_t, size_t, FILE *) = NULL;
  find("fread", &real);
  return is_watched(fileno(file)) && strikes("read") ? fail_reading(file, bytes, size, n) : real(bytes, size, n, file);
}

size_t __fread_chk(void *bytes, size_t room, size_t size, size_t n, FILE *file);

size_t
__fread_chk(void *bytes, size_t room, size_t size, size_t n, FILE *file)
{
  return size * n <= room ? fread(bytes, size, n, file) : 0;
}

ssize_t
write(int fd, const void *bytes, size_t size)
{
  ssize_t (*real)(int, const void *, size_t) = NULL;
  find("write", &real);
  if (!is_watched(fd)) {
    return real(fd, bytes, size);
  }
  const int before = calls;
  if (strikes("write")) {
    return -1;
  }
  const size_t most = (size_t)number_of("FAULT_SHORT");
  const int now = calls != before && calls == number_of("FAULT_NTH");
  return real(fd, bytes, now && most && most < size ? most : size);
}

int
fsync(int fd)
{
  int (*real)(int) = NULL;
  find("fsync", &real);
  return is_watched(fd) && strikes("fsync") ? -1 : real(fd);
}

int
close(int fd)
{
  int (*real)(int) = NULL;
  find("close", &real);
  const int fails = is_watched(fd) && strikes("close");
  const int number = errno;
  if (fd >= 0 && fd < DESCRIPTORS) {
    watched[fd] = 0;
  }
  const int result = real(fd); // it is closed either way
  errno = fails ? number : errno;
  return fails ? -1 : result;
}

int
rename(const char *from, const char *to)
{
  int (*real)(const char *, const char *) = NULL;
  find("rename", &real);
  return (is_meant(from) || is_meant(to)) && strikes("rename") ? -1 : real(from, to);
}
