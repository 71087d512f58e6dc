/** A place that files may be dropped on. */
export function takesFiles(place: HTMLElement, take: (file: File) => void): void {
  place.classList.add('dropzone');
  place.addEventListener('dragover', (event) => {
    event.preventDefault();
    place.classList.add('over');
  });
  place.addEventListener('dragleave', () => place.classList.remove('over'));
  place.addEventListener('drop', (event) => {
    event.preventDefault();
    place.classList.remove('over');
    const file = event.dataTransfer?.files[0];
    if (file) take(file);
  });
}
