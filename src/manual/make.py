#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Makes the manual pages of section 1 and the completions of bash, zsh and fish from what the program says of itself:

    make.py ROWCALL CORPUS LAYOUTS FOLDER COMMAND...

ROWCALL is the program, asked for its --help and that of each command; CORPUS and LAYOUTS are where the demo tunes and
the layouts will lie; COMMAND... are the commands that pages are made for, which must be those there are. What a command
does beyond its help is described in COMMAND.mdoc beside this file. All is written into FOLDER.
"""

import os
import re
import subprocess
import sys
import textwrap
from dataclasses import dataclass, field

DATE = "November 25, 2026"
HERE = os.path.dirname(os.path.abspath(__file__))


@dataclass
class Option:
    short: str
    long: str
    value: str  # what its value is called, "" for none
    text: str
    values: list = field(default_factory=list)  # those that are named

    @property
    def takes_layout(self):
        return self.value == "LAYOUT"

    @property
    def takes_file(self):
        return self.value in ("LAYOUT", "FILE", "TUNES")

    @property
    def takes_list(self):
        return self.value == "LIST"


@dataclass
class Command:
    name: str
    usage: str  # what comes after the options
    summary: str
    options: list
    details: str
    question: str  # of the example
    example: str

    @property
    def takes_layout(self):
        return "NAME" in self.usage

    @property
    def takes_file(self):
        return bool(re.search(r"TUNES|OFFERS|NAME", self.usage))


# ------------------------------------------------------------------------------------------------ what the help says


def ask(program, *arguments):
    env = {**os.environ, "LC_ALL": "C", "COLUMNS": "80"}
    return subprocess.run([program, *arguments], env=env, stdout=subprocess.PIPE, check=True).stdout.decode("utf-8")


def words_of(text):
    """The words of `a (default), b or c`, none where the text is something else."""
    words = re.split(r", | or ", text.replace(" (default)", "").removesuffix(" ..."))
    return words if len(words) > 1 and all(re.fullmatch(r"[\w/-]+", word) for word in words) else []


def named_values(option, details):
    """The values that the option's text names, after a colon or alone, or the details: `--sections takes a, b or c.`"""
    span = re.search(r"\b(\w) to (\w) \(default \w\)$", option.text)
    if span:
        return [chr(i) for i in range(ord(span[1]), ord(span[2]) + 1)]
    taken = re.search(rf"--{option.long} takes ([^.]*)\.", details.replace("\n", " "))
    return words_of(taken[1] if taken else option.text.split(": ")[-1])


def read_options(text, details):
    options = []
    for line in text.splitlines():
        found = re.fullmatch(r"  (?:-(\w), )?--([\w-]+)(?:=(\S+))? +(\S.*)", line)
        assert found, f"no option: {line}"
        option = Option(found[1] or "", found[2], found[3] or "", found[4])
        option.values = named_values(option, details) if option.value else []
        options.append(option)
    return options


def read_command(program, name):
    help_text = ask(program, name, "--help")
    found = re.fullmatch(r"Usage:\n  rowcall \w+ \[OPTION…\] ?(.*)\n\n(.*)\n\nOptions:\n((?:.+\n)+)\n"
                         r"((?:.|\n)*?)\n*Example:(.*)\n  (.*)\n", help_text)
    assert found, f"`rowcall {name} --help` is not as expected:\n{help_text}"
    usage, summary, options, details, question, example = found.groups()
    return Command(name, usage, summary, read_options(options, details), details, question.strip(), example)


def read_commands(program, expected):
    names = re.findall(r"^  (\w+) +\S", ask(program, "--help"), re.MULTILINE)
    assert sorted(names) == sorted(expected), f"the program has {names}, pages are made for {expected}"
    return [read_command(program, name) for name in names]


def read_layouts(program):
    return [line.split(",")[0].strip('"') for line in ask(program, "layouts", "--format", "csv").splitlines()[1:]]


# ------------------------------------------------------------------------------------------------------ manual pages


def escape(text):
    """Text as mdoc has it."""
    text = re.sub(r"`([^`]*)`", r"\(oq\1\(cq", text.replace("\\", r"\e")).replace("\u00a0", r"\ ")
    return "\n".join(r"\&" + line if line[:1] in (".", "'") else line for line in text.splitlines())


def literal(text):
    return ".Bd -literal -offset indent\n" + escape(text).replace("-", r"\-") + "\n.Ed\n"


def fill(text):
    """Prose of several lines, each sentence on a line of its own, as mdoc likes it."""
    sentences = re.split(r"(?<=[.;:?]) +(?=[A-Z`-])", " ".join(text.split()).replace(" %", "\u00a0%"))
    return escape("\n".join("\n".join(textwrap.wrap(s, 80, break_on_hyphens=False)) for s in sentences)) + "\n"


def value_macros(value):
    return f" Ns = Ns Ar {value}" if value else ""


def option_item(option):
    short = f"Fl {option.short} , " if option.short else ""
    return f".It {short}Fl Fl {option.long}{value_macros(option.value)}\n{fill(option.text + '.')}"


def usage_macros(usage):
    """What comes after the options: `TUNES... --on LAYOUT`."""
    lines = []
    for optional, flag, value in re.findall(r"(\[?)((?:--?\w+ )?)([^\s\]]+)\]?", usage):
        dashes = flag.count("-")
        macros = ("Fl " * dashes + flag.strip(" -") + " " if flag else "") + "Ar " + value.replace("...", " ...").replace("|", " | ")
        lines.append("." + ("Op " if optional else "") + macros)
    return "".join(line + "\n" for line in lines)


def header(name, title):
    upper = name.upper()
    return f""".\\" Made by src/manual/make.py.
.Dd {DATE}
.Dt {upper} 1
.Os
.Sh NAME
.Nm {name}
.Nd {escape(title)}
"""


def see_also(names):
    pages = sorted(names, key=lambda page: (page[1], page[0]))
    return ".Sh SEE ALSO\n" + "".join(f".Xr {name} {section}{' ,' if i + 1 < len(pages) else ''}\n"
                                      for i, (name, section) in enumerate(pages))


def tune_pages(commands):
    """The pages of the formats of tunes, as --from names them; that of YAML is the first."""
    names = next(option.values for command in commands for option in command.options if option.long == "from")
    return ["tunes", *(name for name in names if name != "yaml")]


def formats_of(command):
    pages = {"SYMBOL": ["chords"], "OFFERS": ["offers"], "NAME": ["layout"]}
    names = {page for word, about in pages.items() if word in command.usage for page in about}
    names |= {"chords", *tune_pages([command])} if "TUNES" in command.usage else set()
    names |= {"layout"} if any(option.takes_layout for option in command.options) else set()
    names |= {"json"} if any("json" in option.values for option in command.options) else set()
    return [(f"rowcall-{name}", 5) for name in sorted(names)]


def read_more(name):
    with open(os.path.join(HERE, f"{name}.mdoc"), encoding="utf-8") as file:
        return file.read()


EXIT_STATUS = """.Sh EXIT STATUS
.Bl -tag -width Ds
.It 0
All was read.
.It 1
Some tunes or chords could not be read; the rest is answered.
.It 2
Wrong use, or nothing was done.
.El
"""


CAVEATS = """.Sh CAVEATS
A grip that hurts is a wrong grip: rest, and ask a teacher or a doctor.
The grades say how a stand-in sounds on paper; your ears and your band decide.
"""


def lower_first(text):
    return text[:1].lower() + text[1:]


def command_page(command, corpus):
    example = re.sub(r"\bcorpus\b", corpus, command.example)
    question = command.question or "The club's books"
    return (header(f"rowcall-{command.name}", lower_first(command.summary)) +
            f".Sh SYNOPSIS\n.Nm rowcall Cm {command.name}\n.Op Ar option ...\n{usage_macros(command.usage)}"
            f".Sh DESCRIPTION\n{fill(command.summary + '.')}{fill(command.details)}{read_more(command.name)}"
            ".Sh OPTIONS\n.Bl -tag -width Ds\n" + "".join(option_item(option) for option in command.options) + ".El\n" +
            EXIT_STATUS + f".Sh EXAMPLES\n{fill(question[:1].upper() + question[1:])}{literal(example)}" +
            see_also([("rowcall", 1), *formats_of(command)]))


def main_page(commands, corpus, layouts):
    items = "".join(f".It Cm {c.name}\n{fill(c.summary + '.')}See\n.Xr rowcall-{c.name} 1 .\n" for c in commands)
    formats = sorted(re.findall(r"^rowcall-(\w+)\.5$", "\n".join(os.listdir(HERE)), re.M))
    readers = tune_pages(commands)
    listed = "".join(f".Xr rowcall-{name} 5 {mark}".rstrip() + "\n" + ("and\n" if i + 2 == len(readers) else "")
                     for i, (name, mark) in enumerate(zip(readers, [","] * (len(readers) - 2) + ["", "."])))
    more = (read_more("rowcall").replace("@CORPUS@", corpus).replace("@LAYOUTS@", layouts)
            .replace("@FORMATS@\n", listed))
    return (header("rowcall", "take the roll of a repertoire against a bass keyboard") +
            ".Sh SYNOPSIS\n.Nm\n.Ar command\n.Op Ar option ...\n.Op Ar argument ...\n.Nm\n.Fl Fl help | Fl Fl version\n" +
            more.replace("@COMMANDS@\n", f".Bl -tag -width Ds\n{items}.El\n").replace("@EXIT_STATUS@\n", EXIT_STATUS) +
            see_also([(f"rowcall-{c.name}", 1) for c in commands] + [(f"rowcall-{name}", 5) for name in formats]) + CAVEATS)


# -------------------------------------------------------------------------------------------------------- completions

MADE = "# Completion of rowcall's commands, options and layouts. Made by src/manual/make.py.\n"


def spellings(option):
    return ([f"-{option.short}"] if option.short else []) + [f"--{option.long}"]


def bash_values(commands):
    """Branches of a `case` on COMMAND/OPTION for the options that take a value, one for each set of values."""
    branches = {}
    for command in commands:
        for option in (o for o in command.options if o.value):
            says = [f"words='{' '.join(option.values)}'"] if option.values else []
            says += ["words=$layouts"] if option.takes_layout else []
            says += ["files=yes"] if option.takes_file else []
            says += ["list=yes"] if option.takes_list else []
            branches.setdefault(" ".join(says) or ":", []).extend(f"{command.name}/{s}" for s in spellings(option))
    return "".join("    " + " | ".join(keys) + f") {says} ;;\n" for says, keys in branches.items())


def bash(commands, layouts):
    options = "".join(f"    {c.name}) options='{' '.join(s for o in c.options for s in spellings(o))}'"
                      f"{' words=$layouts' if c.takes_layout else ''}{' files=yes' if c.takes_file else ''} ;;\n" for c in commands)
    return MADE + f"""
_rowcall() {{
  local cur=${{COMP_WORDS[COMP_CWORD]}} prev=${{COMP_WORDS[COMP_CWORD - 1]}} command=${{COMP_WORDS[1]}}
  local layouts='{' '.join(layouts)}'
  local options='' words='' files='' list='' before=''
  if [[ $cur == = ]]; then # bash splits --on=48 into three words
    cur=
  elif [[ $prev == = ]]; then
    prev=${{COMP_WORDS[COMP_CWORD - 2]}}
  fi
  if ((COMP_CWORD == 1)); then
    mapfile -t COMPREPLY < <(compgen -W '{' '.join(c.name for c in commands)} --help --version' -- "$cur")
    return
  fi
  case $command/$prev in
{bash_values(commands)}    *)
    case $command in
{textwrap.indent(options, "  ")}    esac
    if [[ $cur == -* ]]; then
      words=$options files=''
    fi
    ;;
  esac
  if [[ $list && $cur == *,* ]]; then
    before=${{cur%,*}},
    cur=${{cur##*,}}
  fi
  mapfile -t COMPREPLY < <(compgen -P "$before" -W "$words" -- "$cur")
  if [[ $files ]]; then
    local names
    compopt -o filenames 2>/dev/null
    mapfile -t names < <(compgen -f -- "$cur")
    COMPREPLY+=("${{names[@]}}")
  fi
}}
complete -F _rowcall rowcall
"""


def quote(text):
    return text.replace("'", "'\\''")


def zsh_text(text):
    return quote(re.sub(r"([\[\]:\\])", r"\\\1", text))


def zsh_value(option):
    name = option.value.replace(":", r"\:")
    if option.takes_layout:
        return f":{name}:_rowcall_layouts"
    if option.takes_file:
        return f":{name}:_files"
    if option.takes_list:
        return f":{name}:_sequence compadd - {' '.join(option.values)}"
    return f":{name}:({' '.join(option.values)})" if option.values else f":{name}: " if option.value else ""


def zsh_option(option):
    several = "*" if "once for each" in option.text or option.long == "forget" else ""
    spec = f"[{zsh_text(option.text)}]{zsh_value(option)}"
    equals = "=" if option.value else ""
    if option.short:
        plus = "+" if option.value else ""
        return f"    '(-{option.short} --{option.long})'{{-{option.short}{plus},--{option.long}{equals}}}'{spec}'"
    return f"    '{several}--{option.long}{equals}{spec}'"


def zsh(commands, layouts):
    names = "\n".join(f"    '{c.name}:{zsh_text(c.summary)}'" for c in commands)
    branches = ""
    for c in commands:
        takes = "_rowcall_layouts" if c.takes_layout else "_files" if c.takes_file else " "
        specs = [zsh_option(o) for o in c.options]
        specs += [f"    '*:{word.strip('[].')}:{takes}'" for word in c.usage.split()[:1]]
        branches += f"  {c.name})\n    _arguments -S \\\n" + " \\\n".join("  " + spec for spec in specs) + "\n    ;;\n"
    return "#compdef rowcall\n" + MADE + f"""
_rowcall_layouts() {{
  _alternative 'layouts:layout:({' '.join(layouts)})' 'files:file:_files'
}}

_rowcall() {{
  local -a commands=(
{names}
  )
  if ((CURRENT == 2)); then
    _describe command commands
    compadd -- --help --version
    return
  fi
  local command=$words[2]
  shift words
  ((CURRENT--))
  case $command in
{branches}  esac
}}

_rowcall "$@"
"""


def fish_option(command, option):
    parts = [f"-n '__rowcall_command {command.name}'"] + ([f"-s {option.short}"] if option.short else [])
    parts.append(f"-l {option.long}")
    if option.value:
        parts.append("-r -F" if option.takes_file else "-x")
    if option.values or option.takes_layout:
        parts.append("-a '" + ("$__rowcall_layouts" if option.takes_layout else " ".join(option.values)) + "'")
    text = option.text.replace("\\", "\\\\").replace("'", "\\'")
    return f"complete -c rowcall {' '.join(parts)} -d '{text}'\n"


def fish(commands, layouts):
    out = MADE + f"""
set -g __rowcall_layouts {' '.join(layouts)}

function __rowcall_command
    set -l words (commandline -opc)
    test (count $words) -ge 2; and test $words[2] = $argv[1]
end

complete -c rowcall -n 'test (count (commandline -opc)) -eq 1' -f
"""
    for c in commands:
        summary = c.summary.replace("'", "\\'")
        out += f"complete -c rowcall -n 'test (count (commandline -opc)) -eq 1' -a {c.name} -d '{summary}'\n"
    out += "complete -c rowcall -n 'test (count (commandline -opc)) -eq 1' -l help -d 'Show the commands'\n"
    out += "complete -c rowcall -n 'test (count (commandline -opc)) -eq 1' -l version -d 'Show the version'\n"
    for c in commands:
        if c.takes_layout:
            out += f"complete -c rowcall -n '__rowcall_command {c.name}' -a '$__rowcall_layouts'\n"
        elif not c.takes_file:
            out += f"complete -c rowcall -n '__rowcall_command {c.name}' -f\n"
        out += "".join(fish_option(c, option) for option in c.options)
    return out


# ------------------------------------------------------------------------------------------------------------ writing


def main():
    program, corpus, layouts_folder, folder, *expected = sys.argv[1:]
    commands = read_commands(program, expected)
    layouts = read_layouts(program)
    files = {f"rowcall-{c.name}.1": command_page(c, corpus) for c in commands}
    files["rowcall.1"] = main_page(commands, corpus, layouts_folder)
    files |= {"rowcall": bash(commands, layouts), "_rowcall": zsh(commands, layouts), "rowcall.fish": fish(commands, layouts)}
    for name, text in files.items():
        with open(os.path.join(folder, name), "w", encoding="utf-8", newline="\n") as file:
            file.write(text)


main()
