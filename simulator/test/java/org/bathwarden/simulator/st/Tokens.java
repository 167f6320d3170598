package org.bathwarden.simulator.st;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.bathwarden.simulator.st.Token.Kind;

/** Cuts a text into words and hands them out one by one. */
final class Tokens {

  private static final Pattern WORDS =
      Pattern.compile(
          "(?<gap>\\s+|//[^\\n]*|\\(\\*.*?\\*\\))"
              + "|(?<time>(?i:T|TIME)#[0-9A-Za-z_.]+)"
              + "|(?<real>[0-9][0-9_]*\\.[0-9]+(?:[Ee][+-]?[0-9]+)?)"
              + "|(?<real2>[0-9][0-9_]*[Ee][+-]?[0-9]+)"
              + "|(?<integer>[0-9]+#[0-9A-Fa-f_]+|[0-9][0-9_]*)"
              + "|(?<word>[A-Za-z_][A-Za-z0-9_]*)"
              + "|(?<symbol>:=|<>|<=|>=|\\.\\.|[-+*/=<>()\\[\\],;:.])",
          Pattern.DOTALL);

  private final List<Token> tokens = new ArrayList<>();
  private int at;

  Tokens(String file, String text) {
    Matcher matcher = WORDS.matcher(text);
    int position = 0;
    int line = 1;
    while (position < text.length()) {
      String where = file + ":" + line;
      matcher.region(position, text.length());
      boolean openComment = text.startsWith("(*", position) && text.indexOf("*)", position + 2) < 0;
      if (openComment || !matcher.lookingAt()) {
        throw new StException(where, "cannot read '" + text.charAt(position) + "'");
      }
      String word = matcher.group();
      if (matcher.group("gap") == null) {
        tokens.add(new Token(kind(matcher), word.toUpperCase(Locale.ROOT), where));
      }
      line += (int) word.chars().filter(c -> c == '\n').count();
      position = matcher.end();
    }
    tokens.add(new Token(Kind.END, "end of file", file + ":" + line));
  }

  private static Kind kind(Matcher matcher) {
    if (matcher.group("time") != null) {
      return Kind.TIME;
    }
    if (matcher.group("real") != null || matcher.group("real2") != null) {
      return Kind.REAL;
    }
    if (matcher.group("integer") != null) {
      return Kind.INTEGER;
    }
    return matcher.group("word") != null ? Kind.WORD : Kind.SYMBOL;
  }

  Token peek() {
    return tokens.get(at);
  }

  Token next() {
    return tokens.get(at == tokens.size() - 1 ? at : at++);
  }

  boolean at(String... wanted) {
    for (String word : wanted) {
      if (peek().is(word)) {
        return true;
      }
    }
    return false;
  }

  boolean accept(String wanted) {
    boolean found = at(wanted);
    if (found) {
      next();
    }
    return found;
  }

  Token expect(String wanted) {
    Token token = next();
    if (!token.is(wanted)) {
      throw new StException(
          token.where(), "'" + wanted + "' expected, '" + token.text() + "' found");
    }
    return token;
  }

  /** Whether an opening bracket, a name and {@code :=} come next: fields, not an expression. */
  boolean fieldsFollow() {
    return at + 2 < tokens.size()
        && tokens.get(at).is("(")
        && tokens.get(at + 1).kind() == Kind.WORD
        && tokens.get(at + 2).is(":=");
  }

  String word() {
    return expect(Kind.WORD).text();
  }

  Token expect(Kind kind) {
    Token token = next();
    if (token.kind() != kind) {
      throw new StException(token.where(), kind + " expected, '" + token.text() + "' found");
    }
    return token;
  }
}
