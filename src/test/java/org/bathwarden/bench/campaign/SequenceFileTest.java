package org.bathwarden.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import org.junit.jupiter.api.Test;

class SequenceFileTest {

  private static final int SEQUENCES = 200;

  @Test
  void aSequenceIsReadBackFromItsFileAsItWasWritten() throws IOException {
    for (long seed = 1; seed <= SEQUENCES; seed++) {
      Sequence sequence = Extras.sequence(seed);
      assertEquals(sequence, SequenceFile.read(SequenceFile.write(sequence)));
    }
  }
}
