#compdef lampbeat
# zsh completion for lampbeat: commands, and the options each command's own --help lists.
_lampbeat() {
  if (( CURRENT == 2 )); then
    local -a commands
    commands=(
      'measure:how much and how fast a light flickers'
      'predict:what one shot will record'
      'shutters:which shutters suit these lights'
      'rate:rank a shelf of fixtures'
      'footage:measure the bands in a clip'
      'room:where in a room one can film'
      'compare:whether a light, a clip or a room is as it was'
      'synth:make a practice capture or clip'
      'help:examples and options of a command'
    )
    _describe 'command' commands
    return
  fi
  if [[ $words[CURRENT] == -* ]]; then
    local -a options
    options=(${(f)"$(lampbeat $words[2] --help 2>/dev/null | grep -oE '(^|[ ,])--[a-z-]+' | tr -d ' ,')"})
    compadd -a options
    return
  fi
  _files
}
_lampbeat "$@"
