# bash completion for lampbeat: commands, and the options each command's own --help lists.
_lampbeat() {
  local current=${COMP_WORDS[COMP_CWORD]}
  local commands="measure predict shutters rate footage room compare synth"
  if [ "$COMP_CWORD" -eq 1 ]; then
    mapfile -t COMPREPLY < <(compgen -W "$commands help --help --version" -- "$current")
    return
  fi
  if [ "${COMP_WORDS[1]}" = help ]; then
    mapfile -t COMPREPLY < <(compgen -W "$commands" -- "$current")
    return
  fi
  case ${COMP_WORDS[COMP_CWORD - 1]} in
    --typical)
      mapfile -t COMPREPLY < <(compgen -W "$(NO_COLOR=1 lampbeat predict --list-typical 2>/dev/null |
        grep -v '^ ')" -- "$current")
      return ;;
    --transfer)
      mapfile -t COMPREPLY < <(compgen -W "bt709 srgb hlg pq linear gamma=" -- "$current")
      return ;;
  esac
  if [[ $current == -* ]]; then
    mapfile -t COMPREPLY < <(compgen -W "$(lampbeat "${COMP_WORDS[1]}" --help 2>/dev/null |
      grep -oE '(^|[ ,])--[a-z-]+' | tr -d ' ,')" -- "$current")
    return
  fi
  mapfile -t COMPREPLY < <(compgen -f -- "$current")
}
complete -o filenames -F _lampbeat lampbeat
