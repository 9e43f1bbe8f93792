export type Shell = 'bash' | 'zsh' | 'fish' | 'powershell'

/** What a shell has to run once, so that it asks the program what may stand at the cursor. */
export function completionScript(shell: Shell): string {
  return SCRIPTS[shell]
}

// Each asks `tablepace complete --partial=WORD -- WORDS…` and falls back to file names where there is no answer.
const SCRIPTS: Readonly<Record<Shell, string>> = {
  // Written for bash 3.2 as well, which macOS still has. Names with spaces are quoted for the command line.
  bash: `_tablepace_complete() {
  local word partial=\${COMP_WORDS[COMP_CWORD]//\\\\/}
  COMPREPLY=()
  while IFS= read -r word; do
    COMPREPLY+=("$(printf '%q' "$word")")
  done < <(tablepace complete "--partial=$partial" -- "\${COMP_WORDS[@]:1:COMP_CWORD-1}" 2>/dev/null)
}
complete -o default -F _tablepace_complete tablepace
`,
  zsh: `#compdef tablepace
_tablepace_complete() {
  local -a found
  found=("\${(@f)$(tablepace complete "--partial=\${(Q)words[CURRENT]}" -- "\${(@Q)words[2,CURRENT-1]}" 2>/dev/null)}")
  if [[ -n "$found[1]" ]]; then
    compadd -- "\${found[@]}"
  else
    _files
  fi
}
compdef _tablepace_complete tablepace
`,
  fish: `function __tablepace_complete
    set -l words (commandline -opc)
    set -l partial (commandline -ct)
    set -l found (tablepace complete "--partial=$partial" -- $words[2..-1] 2>/dev/null)
    if test (count $found) -gt 0
        printf '%s\\n' $found
    else
        __fish_complete_path $partial
    end
end
complete -c tablepace -f -a '(__tablepace_complete)'
`,
  powershell: `Register-ArgumentCompleter -Native -CommandName tablepace -ScriptBlock {
  param($wordToComplete, $commandAst, $cursorPosition)
  $words = @($commandAst.CommandElements | Select-Object -Skip 1 | ForEach-Object { $_.ToString().Trim('"', "'") })
  if ($wordToComplete -ne '' -and $words.Count -gt 0) { $words = @($words | Select-Object -SkipLast 1) }
  tablepace complete "--partial=$wordToComplete" -- @words 2>$null | ForEach-Object {
    $text = if ($_ -match '\\s') { "'$_'" } else { $_ }
    [System.Management.Automation.CompletionResult]::new($text, $_, 'ParameterValue', $_)
  }
}
`,
}
