package org.bathwarden.config;

import java.util.Collection;
import java.util.Comparator;
import java.util.Locale;
import java.util.Optional;

/** The known word that an unknown one was probably meant to be. */
final class Nearest {

  /** More known words than these are not listed. */
  private static final int LISTED_MAX = 12;

  private Nearest() {}

  /** Words for the end of a refusal: the one meant, or a short list, or nothing. */
  static String hint(String found, Collection<String> known) {
    String meant = meant(found, known);
    if (!meant.isEmpty()) {
      return meant;
    }
    return known.isEmpty() || known.size() > LISTED_MAX
        ? ""
        : "; known are " + String.join(", ", known.stream().sorted().toList());
  }

  /** Words for the end of a refusal: the one meant, or nothing. */
  static String meant(String found, Collection<String> known) {
    return of(found, known).map(word -> "; did you mean " + word + "?").orElse("");
  }

  /**
   * The nearest of {@code known}, if it is near: up to a third of the letters may be wrong, missing
   * or too many. Dashes, underscores and capitals make no difference.
   */
  private static Optional<String> of(String found, Collection<String> known) {
    String plain = plain(found);
    return known.stream()
        .filter(word -> distance(plain, plain(word)) <= Math.max(1, plain(word).length() / 3))
        .min(
            Comparator.<String>comparingInt(word -> distance(plain, plain(word)))
                .thenComparing(Comparator.naturalOrder()));
  }

  private static String plain(String word) {
    return word.toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** Levenshtein: the fewest letters to put in, take out, change or swap with their neighbour. */
  private static int distance(String a, String b) {
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      for (int j = 0; j <= b.length(); j++) {
        if (i == 0 || j == 0) {
          d[i][j] = i + j;
          continue;
        }
        int changed = d[i - 1][j - 1] + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
        d[i][j] = Math.min(changed, 1 + Math.min(d[i - 1][j], d[i][j - 1]));
        if (i > 1
            && j > 1
            && a.charAt(i - 1) == b.charAt(j - 2)
            && a.charAt(i - 2) == b.charAt(j - 1)) {
          d[i][j] = Math.min(d[i][j], 1 + d[i - 2][j - 2]);
        }
      }
    }
    return d[a.length()][b.length()];
  }
}
