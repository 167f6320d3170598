package org.bathwarden.architecture;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** What is in the repository means the same on every machine. */
class NoMachinePathsTest {

  private static final Set<String> NOT_OURS = Set.of(".git", "target", ".idea", ".vscode");

  /**
   * Folders of one developer's machine, and hosts of package registries. Split, or it would find
   * itself.
   */
  private static final Pattern MACHINE =
      Pattern.compile(
          "(?<![\\w.$}])/(work|root|home|Users)"
              + "/[\\w.]|/tmp"
              + "/wt|[A-Z]:\\\\Users"
              + "|repo1?\\.maven"
              + "\\.apache|registry\\.npm"
              + "js|pypi"
              + "\\.org");

  @Test
  void noFileNamesAFolderOfOneMachine() throws IOException {
    List<Path> files;
    try (Stream<Path> tree = Files.walk(Path.of(""))) {
      files = tree.filter(NoMachinePathsTest::ours).filter(Files::isRegularFile).toList();
    }
    assertTrue(files.contains(Path.of("pom.xml")), "tests run in the top folder");
    assertEquals(List.of(), files.stream().flatMap(NoMachinePathsTest::findings).toList());
  }

  private static boolean ours(Path file) {
    for (Path part : file) {
      if (NOT_OURS.contains(part.toString())) {
        return false;
      }
    }
    return true;
  }

  private static Stream<String> findings(Path file) {
    try {
      // Every byte is a character there, so that a file in any encoding can be searched.
      return Files.readAllLines(file, ISO_8859_1).stream()
          .filter(line -> MACHINE.matcher(line).find())
          .map(line -> file + ": " + line.strip());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
