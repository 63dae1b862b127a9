# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# shellcheck shell=sh
# Sourced by build.sh: the libraries that rowcall stands on, as static WebAssembly, from Debian's own sources. They are
# kept between runs in the user's cache folder; nothing of the system is changed.
#
#   libraries    builds what is missing and leaves $prefix set: the folder with the libraries and their headers

set -eu
: "${root:?}"
cache=${XDG_CACHE_HOME:-$HOME/.cache}/rowcall
recipe=$root/src/page

# Each with the version of Debian's source that this recipe was checked with. The two lists are built side by side; what
# libarchive uses comes before it. The last two of all are for the tests alone.
unpackers="zlib=1.2.13 bzip2=1.0.8 xz-utils=5.4.1 libzstd=1.5.4 libarchive=3.6.2"
others="glib2.0=2.74.6 libyaml=0.2.5 expat=2.5.0 libsndfile=1.2.0 cmocka=1.1.5 jansson=2.14"

give_up() {
  echo "$*" >&2
  exit 2
}

# What the libraries are made of: another recipe or compiler means another folder.
recipe_key() {
  { cat "$recipe/deps.sh" "$recipe/emscripten.ini" "$recipe/glib-wasm.patch"; emcc --version | sed -n 1p; } |
    sha256sum | cut -c 1-12
}

libraries() {
  mkdir -p "$cache/sources" || give_up "Nothing can be kept in $cache: set XDG_CACHE_HOME to a folder that you may write in."
  prefix=$cache/wasm-$(recipe_key)
  [ ! -f "$prefix/complete" ] || return 0
  exec 9>"$cache/lock" # two builds at once share one set
  flock 9
  [ -f "$prefix/complete" ] || build_libraries
  exec 9>&-
}

build_libraries() {
  has_space
  work=$prefix/building
  rm -rf "$prefix"
  mkdir -p "$work" "$prefix/lib/pkgconfig" "$prefix/include" "$prefix/notices"
  fetch_sources
  # shellcheck disable=SC2086 # one word a library
  build_each $unpackers &
  # shellcheck disable=SC2086
  build_each $others &
  wait
  for source in $unpackers $others; do
    name=${source%=*}
    [ -f "$work/$name.built" ] || tell_failure
  done
  rm -rf "$work"
  : >"$prefix/complete"
}

# An error ends it, since it is no part of a condition.
build_each() {
  for source in "$@"; do
    name=${source%=*}
    version=${source#*=}
    echo "Building $name $version for WebAssembly"
    dpkg-source --no-check -x "$(kept_source)" "$work/$name" >"$work/$name.log" 2>&1
    (cd "$work/$name"; "build_$(echo "$name" | tr -d .0-9-)") >>"$work/$name.log" 2>&1 </dev/null
    : >"$work/$name.built"
  done
}

tell_failure() {
  tail -n 20 "$work/$name.log" >&2
  cp "$work/$name.log" "$cache/"
  give_up "$name could not be built; what it said is in $cache/$name.log."
}

has_space() {
  free=$(df -Pk "$cache" | awk 'NR == 2 { print int($4 / 1024) }')
  [ "$free" -ge 1000 ] ||
    give_up "$cache has $free MB left, and building the libraries takes 1000 for a while: make room, or set XDG_CACHE_HOME."
}

# The sources, which the package manager fetches and checks

# The newest revision of $name $version that is kept, or nothing.
kept_source() {
  find "$cache/sources" -name "${name}_$version*.dsc" | sort -V | tail -n 1
}

fetch_sources() {
  asked=
  for source in $unpackers $others; do
    name=${source%=*}
    version=${source#*=}
    [ -z "$(kept_source)" ] || continue
    [ -n "$asked" ] || own_apt
    asked=yes
    fetch_source
  done
}

# A state of the package manager's of our own, which knows the sources of the archives that the system knows.
own_apt() {
  mkdir -p "$work/apt/lists/partial" "$work/apt/cache/archives/partial" "$work/apt/none"
  # shellcheck disable=SC2016 # apt's own
  apt-get indextargets --format 'deb-src $(SITE) $(RELEASE) $(COMPONENT)' 'Created-By: Packages' 'Origin: Debian' |
    sort -u >"$work/apt/sources.list"
  [ -s "$work/apt/sources.list" ] || give_up "The package manager knows of no Debian archive: run apt-get update first."
  cat >"$work/apt.conf" <<CONF
Dir::Etc::sourcelist "$work/apt/sources.list";
Dir::Etc::sourceparts "$work/apt/none";
Dir::State::lists "$work/apt/lists";
Dir::Cache "$work/apt/cache";
APT::Sandbox::User "$(id -un)";
APT::Update::Error-Mode "any";
Acquire::Retries "2";
CONF
  APT_CONFIG="$work/apt.conf" apt-get update -qq >"$work/apt.log" 2>&1 || {
    cat "$work/apt.log" >&2
    give_up "Debian's lists of sources cannot be reached: is there a network? It is needed once; what was built is kept."
  }
}

# The newest revision of $name $version; where an archive lacks that file, the next older one.
fetch_source() {
  offered=$(APT_CONFIG="$work/apt.conf" apt-cache showsrc "$name" | sed -n 's/^Version: //p' | sort -rV | uniq)
  for revision in $offered; do
    case ${revision#*:} in
      "$version"[-.+~]*) ;;
      *) continue ;;
    esac
    rm -rf "$work/fetched"
    mkdir "$work/fetched"
    if (cd "$work/fetched" && APT_CONFIG="$work/apt.conf" apt-get source -qq --download-only "$name=$revision") >>"$work/apt.log" 2>&1
    then
      mv "$work/fetched"/* "$cache/sources/"
      return
    fi
  done
  tail -n 20 "$work/apt.log" >&2
  give_up "Debian's source of $name $version cannot be had; on offer: $(echo "${offered:-nothing}" | tr '\n' ' ')"
}

# The libraries, each built in its unpacked source

# say_package NAME VERSION LIBS: how pkg-config is to find it.
say_package() {
  printf 'Name: %s\nDescription: %s\nVersion: %s\nCflags: -I%s\nLibs: -L%s %s\n' "$1" "$1" "$2" "$prefix/include" \
    "$prefix/lib" "$3" >"$prefix/lib/pkgconfig/$1.pc"
}

# keep_notice FILE: what the library's makers say of its licence.
keep_notice() {
  cp "$1" "$prefix/notices/$name $version"
}

# archive LIBRARY "FLAGS" FILE...: compiles the files into a static library.
archive() {
  library=$prefix/lib/lib$1.a
  flags=$2
  shift 2
  # shellcheck disable=SC2086 # one word a flag
  printf '%s\n' "$@" | xargs -P "$(nproc)" -n 8 emcc -O2 $flags -c
  objects=
  for file in "$@"; do
    objects="$objects $(basename "$file" .c).o"
  done
  # shellcheck disable=SC2086 # one word an object
  emar rcs "$library" $objects
}

# say_config NAME...: a config.h that says 1 of each. The checks of a configure script would take minutes to find as much.
say_config() {
  printf '#define %s 1\n' "$@" >config.h
}

build_libyaml() {
  keep_notice License
  archive yaml '-Iinclude -DYAML_VERSION_MAJOR=0 -DYAML_VERSION_MINOR=2 -DYAML_VERSION_PATCH=5 -DYAML_VERSION_STRING="0.2.5"' src/*.c
  cp include/yaml.h "$prefix/include/"
  say_package yaml-0.1 "$version" -lyaml
}

build_expat() {
  keep_notice expat/COPYING
  cd expat/lib
  say_config HAVE_MEMMOVE XML_DEV_URANDOM XML_DTD XML_GE XML_NS
  printf '#define BYTEORDER 1234\n#define XML_CONTEXT_BYTES 1024\n' | cat config.h - >expat_config.h
  archive expat '-I. -DHAVE_EXPAT_CONFIG_H' xmlparse.c xmlrole.c xmltok.c
  cp expat.h expat_external.h "$prefix/include/"
  say_package expat "$version" -lexpat
}

build_zlib() {
  sed -n '/^  Copyright/,/^\*\//p' zlib.h >notice
  keep_notice notice
  archive z '-I. -DHAVE_UNISTD_H' adler32.c crc32.c deflate.c infback.c inffast.c inflate.c inftrees.c trees.c zutil.c compress.c uncompr.c \
    gzclose.c gzlib.c gzread.c gzwrite.c
  cp zlib.h zconf.h "$prefix/include/"
  say_package zlib "$version" -lz
}

# Of the three, what unpacks.

build_bzip() {
  keep_notice LICENSE
  archive bz2 '' bzlib.c crctable.c decompress.c huffman.c randtable.c compress.c blocksort.c
  cp bzlib.h "$prefix/include/"
}

build_xzutils() {
  keep_notice COPYING
  cd src/liblzma
  say_config HAVE_CHECK_CRC32 HAVE_CHECK_CRC64 HAVE_CHECK_SHA256 HAVE_DECODER_ARM HAVE_DECODER_ARM64 HAVE_DECODER_ARMTHUMB \
    HAVE_DECODER_DELTA HAVE_DECODER_IA64 HAVE_DECODER_LZMA1 HAVE_DECODER_LZMA2 HAVE_DECODER_POWERPC HAVE_DECODER_SPARC \
    HAVE_DECODER_X86 HAVE_INTTYPES_H HAVE_STDBOOL_H HAVE_STDINT_H
  headers='-I. -I../common -Iapi -Icheck -Icommon -Idelta -Ilz -Ilzma -Irangecoder -Isimple'
  archive lzma "-DHAVE_CONFIG_H -DTUKLIB_SYMBOL_PREFIX=lzma_ $headers" check/check.c check/crc32_table.c check/crc32_fast.c \
    check/crc64_table.c check/crc64_fast.c check/sha256.c common/common.c common/block_util.c common/filter_common.c \
    common/index.c common/index_hash.c common/stream_flags_common.c common/vli_size.c common/alone_decoder.c \
    common/auto_decoder.c common/block_decoder.c common/block_header_decoder.c common/filter_decoder.c \
    common/filter_flags_decoder.c common/index_decoder.c common/stream_decoder.c common/stream_flags_decoder.c \
    common/vli_decoder.c delta/delta_common.c delta/delta_decoder.c lz/lz_decoder.c lzma/lzma_decoder.c lzma/lzma2_decoder.c \
    simple/arm.c simple/arm64.c simple/armthumb.c simple/ia64.c simple/powerpc.c simple/simple_coder.c simple/simple_decoder.c \
    simple/sparc.c simple/x86.c
  cp -R api/lzma.h api/lzma "$prefix/include/"
}

build_libzstd() {
  keep_notice LICENSE
  archive zstd '-DZSTD_DISABLE_ASM -DZSTD_LEGACY_SUPPORT=0' lib/common/*.c lib/decompress/*.c
  cp lib/zstd.h lib/zstd_errors.h "$prefix/include/"
}

# What reads zip, tar and single files, packed in whichever way.
build_libarchive() {
  keep_notice COPYING
  cd libarchive
  # shellcheck disable=SC2046 # one word a name
  say_config STDC_HEADERS __LIBARCHIVE_CONFIG_H_INCLUDED MAJOR_IN_SYSMACROS $(printf 'HAVE_%s ' \
    CTYPE_H DECL_INT32_MAX DECL_INT32_MIN DECL_INT64_MAX DECL_INT64_MIN DECL_INTMAX_MAX DECL_INTMAX_MIN \
    DECL_SIZE_MAX DECL_SSIZE_MAX DECL_UINT32_MAX DECL_UINT64_MAX DECL_UINTMAX_MAX DECL_STRERROR_R DIRENT_H EILSEQ \
    ERRNO_H FCNTL FCNTL_H FORK FSEEKO FSTAT FTRUNCATE GMTIME_R GRP_H INTMAX_T INTTYPES_H LANGINFO_H LIMITS_H LOCALE_H \
    LOCALTIME_R LSTAT MBRTOWC MEMMOVE MEMSET MKSTEMP NL_LANGINFO PWD_H POLL POLL_H PIPE READLINK SETENV SETLOCALE \
    SIGNAL_H STDARG_H STDINT_H STDIO_H STDLIB_H STRCHR STRDUP STRERROR STRERROR_R STRFTIME STRINGS_H STRING_H \
    STRNLEN STRRCHR STRUCT_STAT_ST_BLKSIZE STRUCT_STAT_ST_MTIM_TV_NSEC STRUCT_TM_TM_GMTOFF SYMLINK SYS_IOCTL_H \
    SYS_PARAM_H SYS_POLL_H SYS_SELECT_H SYS_STAT_H SYS_TIME_H SYS_TYPES_H SYS_WAIT_H TIMEGM TIME_H TZSET UINTMAX_T \
    UNISTD_H UNSETENV UTIME_H VPRINTF WCHAR_H WCHAR_T WCRTOMB WCSCMP WCSCPY WCSLEN WCTOMB WCTYPE_H WMEMCMP WMEMCPY \
    WMEMMOVE LIBZ ZLIB_H LIBBZ2 BZLIB_H LIBLZMA LZMA_H LIBZSTD ZSTD_H)
  cat >>config.h <<CONFIG
#define LIBARCHIVE_VERSION_NUMBER "3006002"
#define LIBARCHIVE_VERSION_STRING "$version"
#define PACKAGE_NAME "libarchive"
#define SIZEOF_INT 4
#define SIZEOF_LONG 4
#define SIZEOF_WCHAR_T 4
#define VERSION "$version"
CONFIG
  # shellcheck disable=SC2046 # one word a file
  archive archive "-I. -I$prefix/include -DHAVE_CONFIG_H" filter_fork_posix.c archive_read_support_format_raw.c \
    archive_read_support_format_tar.c archive_read_support_format_zip.c \
    $(find . -name 'archive_*.c' ! -name '*_support_format_*' ! -name '*windows*' ! -name '*write*' ! -name '*disk*')
  cp archive.h archive_entry.h "$prefix/include/"
  say_package libarchive "$version" '-larchive -lbz2 -llzma -lzstd -lz'
}

# What writes WAV. The other formats are opened in no other way than by these functions.
build_libsndfile() {
  keep_notice COPYING
  cd src
  say_config CPU_IS_LITTLE_ENDIAN HAVE_GMTIME_R HAVE_LRINT HAVE_LRINTF HAVE_SSIZE_T HAVE_STDBOOL_H HAVE_STDINT_H \
    HAVE_SYS_TIME_H HAVE_SYS_TYPES_H HAVE_UNISTD_H
  printf '#define %s 0\n' CPU_CLIPS_NEGATIVE CPU_CLIPS_POSITIVE CPU_IS_BIG_ENDIAN ENABLE_EXPERIMENTAL_CODE \
    HAVE_EXTERNAL_XIPH_LIBS HAVE_MPEG OS_IS_WIN32 USE_WINDOWS_API >>config.h
  cat >>config.h <<CONFIG
#define PACKAGE_NAME "libsndfile"
#define PACKAGE_VERSION "$version"
#define SIZEOF_INT64_T 8
#define SIZEOF_OFF_T 8
#define SIZEOF_WCHAR_T 4
CONFIG
  {
    printf '#include "sfconfig.h"\n#include "sndfile.h"\n#include "common.h"\n#include "wavlike.h"\n'
    for function in aiff_open au_open avr_open caf_open dwd_open flac_open htk_open ircam_open mat4_open mat5_open mpc2k_open \
      mpeg_open nist_open ogg_open paf_open pvf_open raw_open rf64_open rx2_open sd2_open sds_open svx_open txw_open voc_open \
      w64_open wve_open xi_open alaw_init g72x_init gsm610_init nms_adpcm_init ulaw_init; do
      echo "int $function(SF_PRIVATE *psf) { (void)psf; return SFE_UNIMPLEMENTED; }"
    done
    for function in mpeg_init 'wavlike_ima_init' 'wavlike_msadpcm_init'; do
      echo "int $function(SF_PRIVATE *psf, int a, int b) { (void)psf; (void)a; (void)b; return SFE_UNIMPLEMENTED; }"
    done
    echo 'void wavlike_msadpcm_write_adapt_coeffs(SF_PRIVATE *psf) { (void)psf; }'
  } >left_out.c
  archive sndfile '-I. -I../include' audio_detect.c broadcast.c cart.c chanmap.c chunk.c command.c common.c dither.c double64.c \
    file_io.c float32.c id3.c interleave.c left_out.c pcm.c sndfile.c strings.c wav.c wavlike.c
  cp ../include/sndfile.h "$prefix/include/"
  say_package sndfile "$version" -lsndfile
}

# libglib alone. It asks for two libraries of which nothing is linked.
build_glib() {
  keep_notice COPYING
  say_package libpcre2-8 10.42 ''
  say_package libffi 3.4.4 ''
  cp /usr/include/pcre2.h "$prefix/include/"
  patch -p1 <"$recipe/glib-wasm.patch"
  meson setup build --cross-file "$recipe/emscripten.ini" -Dpkg_config_path="$prefix/lib/pkgconfig" --prefix="$prefix" --libdir=lib \
    -Ddefault_library=static -Dbuildtype=release -Dtests=false -Dlibmount=disabled -Dselinux=disabled -Dxattr=false \
    -Dnls=disabled -Dlibelf=disabled -Dman=false -Dgtk_doc=false --wrap-mode=nodownload
  ninja -C build glib/libglib-2.0.a
  meson install -C build --no-rebuild --tags devel
  sed -i '/^Requires: libpcre/d' "$prefix/lib/pkgconfig/glib-2.0.pc"
}

build_cmocka() {
  sed -i '1i #include <stdint.h>\n#define _UINTPTR_T_DEFINED' include/cmocka.h # by whose name it knows one from stdint.h
  say_config HAVE_CLOCK_GETTIME HAVE_INTTYPES_H HAVE_SETJMP_H HAVE_SIGNAL_H HAVE_STDINT_H HAVE_STRINGS_H HAVE_STRUCT_TIMESPEC HAVE_TIME_H
  archive cmocka '-I. -Iinclude -DHAVE_CONFIG_H' src/cmocka.c
  cp include/cmocka.h "$prefix/include/"
  say_package cmocka "$version" -lcmocka
}

build_jansson() {
  cd src
  sed 's/@json_inline@/inline/; s/@[a-z_]*@/1/' jansson_config.h.in >jansson_config.h
  say_config HAVE_STDINT_H
  printf '#define INITIAL_HASHTABLE_ORDER 3\n' | cat config.h - >jansson_private_config.h
  archive jansson '-I. -DHAVE_CONFIG_H' ./*.c
  cp jansson.h jansson_config.h "$prefix/include/"
  say_package jansson "$version" -ljansson
}
