package org.bathwarden.face;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Instant;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class JsonTest {

  @ParameterizedTest
  @CsvSource({
    "2026-03-02T18:36:43.999999258Z, 2026-03-02T18:36:44Z",
    "2026-03-02T18:36:44Z, 2026-03-02T18:36:44Z",
    "2026-03-02T18:36:44.1234Z, 2026-03-02T18:36:44.123Z"
  })
  void timesAreRoundedToTheMillisecond(String at, String written) throws Exception {
    assertEquals('"' + written + '"', Json.mapper().writeValueAsString(Instant.parse(at)));
  }
}
