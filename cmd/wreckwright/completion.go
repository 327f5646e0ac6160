package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/alecthomas/kong"
)

type completionCommand struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"bash, zsh or fish."`
}

// Help says where the script goes.
func (completionCommand) Help() string {
	return `bash: wreckwright completion bash > ~/.local/share/bash-completion/completions/wreckwright
zsh:  wreckwright completion zsh > ~/.wreckwright.zsh, and source it in ~/.zshrc
fish: wreckwright completion fish > ~/.config/fish/completions/wreckwright.fish`
}

// Run prints the script of the shell.
func (c completionCommand) Run(out output, model *kong.Application) error {
	levels := completionLevels(model.Node, "")
	switch c.Shell {
	case "fish":
		writeFish(out.Result, levels)
	case "zsh":
		fmt.Fprintln(out.Result, "autoload -U +X compinit && compinit\nautoload -U +X bashcompinit && bashcompinit")
		writeBash(out.Result, levels)
	default:
		writeBash(out.Result, levels)
	}
	return nil
}

// level is a command with what may follow it.
type level struct {
	path  string // " bench joint"
	words []completionWord
}

type completionWord struct{ word, help string }

// completionLevels lists a command and those beneath it, deepest first.
func completionLevels(node *kong.Node, path string) []level {
	var levels []level
	here := level{path: path}
	for _, child := range node.Children {
		if child.Hidden || child.Type != kong.CommandNode {
			continue
		}
		levels = append(levels, completionLevels(child, path+" "+child.Name)...)
		here.words = append(here.words, completionWord{child.Name, child.Help})
	}
	for _, p := range node.Positional {
		for _, word := range p.EnumSlice() {
			if word != "" {
				here.words = append(here.words, completionWord{word, p.Help})
			}
		}
	}
	for _, group := range node.AllFlags(true) {
		for _, flag := range group {
			here.words = append(here.words, completionWord{"--" + flag.Name, flag.Help})
		}
	}
	return append(levels, here)
}

func writeBash(w io.Writer, levels []level) {
	fmt.Fprint(w, `_wreckwright() {
  local word path=""
  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case "$word" in -*) ;; *) path="$path $word" ;; esac
  done
  case "$path" in
`)
	for _, l := range levels {
		var words []string
		for _, c := range l.words {
			words = append(words, c.word)
		}
		pattern := `"` + l.path + `"*`
		if l.path == "" {
			pattern = "*"
		}
		fmt.Fprintf(w, "    %s) word=\"%s\" ;;\n", pattern, strings.Join(words, " "))
	}
	fmt.Fprint(w, `  esac
  COMPREPLY=($(compgen -W "$word" -- "${COMP_WORDS[COMP_CWORD]}"))
}
complete -o default -F _wreckwright wreckwright
`)
}

func writeFish(w io.Writer, levels []level) {
	for _, l := range levels {
		condition := "__fish_use_subcommand"
		if commands := strings.Fields(l.path); len(commands) > 0 {
			condition = "__fish_seen_subcommand_from " + commands[len(commands)-1]
		}
		for _, c := range slices.Clone(l.words) {
			option := "-a " + c.word
			if name, ok := strings.CutPrefix(c.word, "--"); ok {
				option = "-l " + name
			}
			fmt.Fprintf(w, "complete -c wreckwright -n '%s' %s -d '%s'\n", condition, option, strings.ReplaceAll(c.help, "'", `\'`))
		}
	}
}
