// Reading a badge with the camera, on phones that can; on all others the code is typed.

export const canScan = () => "BarcodeDetector" in window && Boolean(navigator.mediaDevices);

/** Show the camera until a code is read. */
export async function scan(place, found) {
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  const video = document.createElement("video");
  video.muted = true;
  video.playsInline = true;
  video.srcObject = stream;
  place.replaceChildren(video);
  await video.play();
  const reader = new BarcodeDetector({ formats: ["qr_code"] });
  const look = async () => {
    const [code] = await reader.detect(video);
    if (code || !video.isConnected) {
      stream.getTracks().forEach((track) => track.stop());
      place.replaceChildren();
      if (code) found(code.rawValue);
    } else {
      requestAnimationFrame(look);
    }
  };
  look();
}
